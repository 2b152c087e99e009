using System.Globalization;
using SweepRig.Analysis;
using SweepRig.Analysis.Matching;
using SweepRig.Domain;
using SweepRig.Domain.Quantities;
using SweepRig.Domain.Stock;
using SweepRig.Service.Cli.Rendering;
using SweepRig.Service.Contract;
using SweepRig.Service.Live;

namespace SweepRig.Service.Stock;

/// <summary>What tubes of a lot are matched by: those that can be, how unlike two of them are, and why.</summary>
/// <param name="Usable">Free tubes that have all that is asked.</param>
/// <param name="NotMeasured">Free tubes that have not.</param>
/// <param name="Distance">Of two places among the usable ones.</param>
/// <param name="Differences">Of two places, quantity by quantity.</param>
/// <param name="Says">What the distance of two places comes from.</param>
/// <param name="Scale">What a distance means.</param>
/// <param name="Remarks">What speaks against comparing them.</param>
public sealed record MatchBasis(
    IReadOnlyList<TubeFigures> Usable, string[] NotMeasured, Func<int, int, double> Distance, Func<int, int, PairDifferenceView[]> Differences, Func<int, int, string> Says, string Scale,
    string[] Remarks)
{
    /// <summary>By the figures of chosen quantities.</summary>
    public static Outcome<MatchBasis> By(LotReading reading, IReadOnlyList<MatchQuantity> by, int fewest)
    {
        var free = Free(reading);
        var usable = free.Where(f => Likeness.Distance(by, f.Figures, f.Figures) is not null).ToArray();
        if (usable.Length < fewest) return TooFew(reading, usable.Length, fewest, $"have {string.Join(", ", by.Select(q => q.Quantity))} with an uncertainty", "Sweep or screen more of them for it, or match by other quantities.");
        return Outcome<MatchBasis>.Accept(new(
            usable, Without(free, usable),
            (i, j) => Likeness.Distance(by, usable[i].Figures, usable[j].Figures)!.Value,
            (i, j) => [.. Likeness.Explain(by, usable[i].Figures, usable[j].Figures).Select(e => new PairDifferenceView(
                e.Of.Quantity, usable[i].Figures[e.Of.Quantity], usable[j].Figures[e.Of.Quantity], e.Difference, e.Part))],
            (i, j) => Reason(Likeness.Explain(by, usable[i].Figures, usable[j].Figures)),
            "root mean square of the differences, each over its tolerance, or over the standard uncertainty of the difference where none was given",
            [.. Comparability.Remarks(usable, by.Select(q => q.Quantity))]));
    }

    /// <summary>By whole curves.</summary>
    public static Outcome<MatchBasis> By(LotReading reading, CurveChoice curves, int fewest)
    {
        var (kind, tolerance) = curves;
        var free = Free(reading);
        var usable = free.Where(f => f.Curves.TryGetValue(kind, out var c) && CurveLikeness.CanRead(c)).ToArray();
        if (usable.Length < fewest) return TooFew(reading, usable.Length, fewest, $"have a curve in {BenchViews.Word(kind)} connection", "Sweep them in that connection first.");
        var likeness = CurveLikeness.Of([.. usable.Select(f => f.Curves[kind])], tolerance);
        if (likeness is null)
        {
            return Outcome<MatchBasis>.Refuse(new Refusal(
                "no-common-drive", "/curve", $"the {BenchViews.Word(kind)} curves of {reading.Lot}", "all must have a range of drive in common, and these have none", "Sweep the tubes over the same drives."));
        }
        CurveOnGrid[] read = [.. usable.Select(f => likeness.Read(f.Curves[kind]))];
        var word = $"{BenchViews.Word(kind)} curve";
        return Outcome<MatchBasis>.Accept(new(
            usable, Without(free, usable), (i, j) => likeness.Distance(read[i], read[j]),
            (i, j) =>
            {
                var (place, _, difference) = likeness.Farthest(read[i], read[j]);
                Figure At(CurveOnGrid c) => Figure.Of(c.Output[place], "V", c.Uncertainty[place]);
                return [new(word, At(read[i]), At(read[j]), difference, null)];
            },
            (i, j) =>
            {
                var (_, drive, difference) = likeness.Farthest(read[i], read[j]);
                return $"outputs differ most at a drive of {Engineering.Format(drive, "V", 3)}, by {FigureText.Scaled(difference)}{(IsWithin(difference) ? ", no more than they may be wrong" : "")}";
            },
            string.Create(CultureInfo.InvariantCulture, $"root mean square over drives from {likeness.Drives[0]:0.##} V to {likeness.Drives[^1]:0.##} V of the difference of the outputs, over {(tolerance is { } t ? $"{t} V" : "its standard uncertainty")}"),
            [.. Comparability.Remarks(usable, [kind])]));
    }

    private static string Reason(IReadOnlyList<(MatchQuantity Of, Figure Difference, double Part)> explained)
    {
        var most = explained.MaxBy(e => e.Part);
        var part = explained.Count == 1 ? "" : string.Create(CultureInfo.InvariantCulture, $" ({100 * most.Part:0} % of it)");
        var within = explained.All(e => IsWithin(e.Difference)) ? "no difference beyond what the measurement can tell; " : "";
        return $"{within}mostly {most.Of.Quantity}, by {FigureText.Scaled(most.Difference)}{part}";
    }

    private static bool IsWithin(Figure difference) => Math.Abs(difference.Value!.Value) <= difference.ExpandedUncertainty;

    private static TubeFigures[] Free(LotReading reading) => [.. reading.Figures.Where((_, i) => reading.Tubes[i].State != TubeState.InUse)];

    private static string[] Without(TubeFigures[] free, TubeFigures[] usable) => [.. free.Except(usable).Select(f => f.Label)];

    private static Outcome<MatchBasis> TooFew(LotReading reading, int usable, int fewest, string having, string remedy) => Outcome<MatchBasis>.Refuse(new Refusal(
        "too-few-tubes", "/lot", $"{usable} free tube{(usable == 1 ? "" : "s")} of {reading.Lot} {(usable == 1 ? having.Replace("have ", "has ", StringComparison.Ordinal) : having)}", $"{fewest} or more are needed", remedy));
}
