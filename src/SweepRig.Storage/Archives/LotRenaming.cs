using SweepRig.Domain.Runs;
using SweepRig.Domain.Stock;

namespace SweepRig.Storage.Archives;

/// <summary>How an archive is taken in.</summary>
/// <param name="KeepHere">What is in conflict stays as it is here, and the archive's is left out; false when a conflict is to stop it all.</param>
/// <param name="LotNames">Lots of the archive that get another name here, by the name that they have there. The numbers of their tubes begin with what the new name gives.</param>
public sealed record ArchiveChoices(bool KeepHere, IReadOnlyDictionary<string, string> LotNames)
{
    public static ArchiveChoices Usual { get; } = new(false, new Dictionary<string, string>());
}

/// <summary>Gives lots of an archive other names, and their tubes other numbers: two benches may have called different lots alike.</summary>
internal sealed class LotRenaming(IReadOnlyDictionary<string, string> names)
{
    private readonly Dictionary<string, string> _labels = new(StringComparer.Ordinal);

    /// <summary>The lot as it is to be called here, with its tubes. All lots of an archive are to be shown to it before its runs.</summary>
    /// <exception cref="ArchiveException">The new name is none that a lot can have.</exception>
    public (Lot Lot, IReadOnlyList<StockTube> Tubes) Of(Lot lot, IReadOnlyList<StockTube> tubes)
    {
        if (!names.TryGetValue(lot.Name, out var name)) return (lot, tubes);
        var renamed = lot with { Name = name, Prefix = Lot.PrefixOf(name) ?? "" };
        if (renamed.Faults().FirstOrDefault() is { } fault) throw new ArchiveException("archive-bad-lot-name", $"lot {lot.Name} is to be called \"{name}\" here; {fault.Asked}", fault.Allowed, "Choose another name.");
        foreach (var tube in tubes) _labels[tube.Label] = renamed.Prefix + tube.Label[tube.Label.LastIndexOf('-')..];
        return (renamed, [.. tubes.Select(t => Of(t, renamed.Name))]);
    }

    /// <summary>The run under the number that its tube has here.</summary>
    public RunRecord Of(RunRecord run)
    {
        var tube = run.Header.Tube;
        if (tube.Lot is not { } lot || !names.TryGetValue(lot, out var name)) return run;
        var number = TubeNumber.Split(tube.Label);
        var label = (number with { Label = _labels.GetValueOrDefault(number.Label, number.Label) }).ToString();
        return run with { Header = run.Header with { Tube = tube with { Label = label, Lot = name } } };
    }

    /// <exception cref="ArchiveException">A lot that is to be called otherwise is not in the archive.</exception>
    public void RequireKnown(IEnumerable<string> lots)
    {
        var known = lots.ToArray();
        if (names.Keys.FirstOrDefault(n => !known.Contains(n, StringComparer.Ordinal)) is { } unknown)
            throw new ArchiveException("archive-has-no-such-lot", $"lot {unknown} is to be called {names[unknown]} here", known.Length == 0 ? "the archive has no lot" : $"the archive has {string.Join(", ", known)}", "Check its name.");
    }

    // Whether a change can be does not hang on names.
    private StockTube Of(StockTube tube, string lot) => StockTube.Of(_labels[tube.Label], lot, tube.History[0].AtUtc, tube.History.Skip(1)).Value
        ?? throw new InvalidOperationException($"SweepRig bug: the history of {tube.Label} does not hold under another number.");
}
