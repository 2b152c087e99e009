using System.Text.Json;
using SweepRig.Analysis;
using SweepRig.Analysis.Health;
using SweepRig.Analysis.Levels;
using SweepRig.Domain;
using SweepRig.Domain.Plans.Reading;
using SweepRig.Domain.Stock;
using SweepRig.Domain.Tubes;
using SweepRig.Service.Fits;
using SweepRig.Service.Live;
using SweepRig.Tubes.Model;

namespace SweepRig.Service.Stock;

/// <summary>What has to be read of a tube for its figures.</summary>
[Flags]
public enum FigureSources
{
    None = 0,

    /// <summary>Levels of the newest sweep in each connection.</summary>
    Levels = 1,

    /// <summary>Constants fitted to those sweeps together, which takes a while.</summary>
    Fit = 2,

    /// <summary>The newest screening.</summary>
    Health = 4,

    /// <summary>The curves of those sweeps.</summary>
    Curves = 8,
}

/// <summary>All that tubes can be graded, matched, replaced and followed by, under the words that people and documents use.</summary>
public static class StockQuantities
{
    /// <summary>What the constants of a tube and the figures of its screening stand under.</summary>
    public const string FitPrefix = "fit.", HealthPrefix = "health.";

    /// <summary>Levels of each connection, constants of the fitted tube, figures of the screening.</summary>
    public static IReadOnlyList<NamedQuantity> All { get; } =
    [
        .. Enum.GetValues<ConnectionKind>().SelectMany(kind => NamedLevels.All.Select(l => new NamedQuantity(Word(kind, l), l.Unit, $"{l.Meaning}, {BenchViews.Word(kind)} connection"))),
        .. TubeCoordinates.All.Select(c => new NamedQuantity(Word(c), TubeCoordinates.Unit(c), Meaning(c))),
        .. HealthQuantities.All.Select(q => q with { Word = HealthPrefix + q.Word }),
    ];

    /// <summary>The same, and those of each section of a double tube.</summary>
    public static IReadOnlyList<NamedQuantity> WithSections { get; } = [.. All, .. new[] { 1, 2 }.SelectMany(n => All.Select(q => Of(q, n)))];

    private static readonly Dictionary<string, NamedQuantity> ByWord = All.ToDictionary(q => q.Word, StringComparer.Ordinal);

    /// <summary>The quantity of a word, or why there is none.</summary>
    /// <param name="word">As typed.</param>
    /// <param name="path">Of the request, for the refusal.</param>
    public static Outcome<NamedQuantity> Find(string word, string path)
    {
        var (bare, section) = TubeNumber.Split(word.Trim());
        if (ByWord.TryGetValue(bare, out var found))
            return Outcome<NamedQuantity>.Accept(section is { } n ? Of(found, n) : found);
        var nearest = NearestKey.Of(word.Trim(), [.. ByWord.Keys]);
        return Outcome<NamedQuantity>.Refuse(new Refusal(
            "quantity-unknown", path, $"the quantity \"{word.Trim()}\"", "there is none of that name", nearest is null ? "See sweeprig stock quantities." : $"Did you mean {nearest}?"));
    }

    /// <summary>The word of a quantity of one section of a tube that has several, as in <c>triode.vol/2</c>.</summary>
    public static string OfSection(string word, int section) => new TubeNumber(word, section).ToString();

    private static NamedQuantity Of(NamedQuantity quantity, int section) =>
        quantity with { Word = OfSection(quantity.Word, section), Meaning = FormattableString.Invariant($"{quantity.Meaning}, section {section}") };

    /// <summary>What has to be read for these quantities.</summary>
    public static FigureSources SourcesOf(IEnumerable<string> words) => words.Aggregate(
        FigureSources.None,
        (all, w) => all | (w.StartsWith(FitPrefix, StringComparison.Ordinal) ? FigureSources.Fit : w.StartsWith(HealthPrefix, StringComparison.Ordinal) ? FigureSources.Health : FigureSources.Levels));

    public static string Word(ConnectionKind kind, NamedLevel level) => $"{BenchViews.Word(kind)}.{level.Word}";

    /// <summary>The word of a constant: kebab-case, as the words of levels are.</summary>
    public static string Word(TubeParameter constant) =>
        FitPrefix + JsonNamingPolicy.KebabCaseLower.ConvertName(constant == TubeParameter.GridCathodeLeakSiemens ? "GridCathodeLeak" : constant.ToString());

    private static string Meaning(TubeParameter constant) => ConstantWords.Title(constant) is var title ? $"{char.ToLowerInvariant(title[0])}{title[1..]}, fitted" : "";
}
