using SweepRig.Analysis;
using SweepRig.Domain.Runs;
using SweepRig.Service.Live;

namespace SweepRig.Service.Stock;

/// <summary>A level by which a tube and its bench are followed from sweep to sweep.</summary>
/// <param name="Level">Its word without the connection.</param>
/// <param name="OfRig">It tells of the rig that all its tubes share, not of the tube.</param>
/// <param name="Advice">What to do when it has changed beyond uncertainty.</param>
public sealed record FollowedLevel(string Level, bool OfRig, string Advice)
{
    /// <summary>The level of the tube, or of the section of it, that a run is of.</summary>
    public NamedQuantity Of(RunHeader run)
    {
        var word = WordOf(run);
        return StockQuantities.Find(run.Tube.Section is { } section ? StockQuantities.OfSection(word, section) : word, "").Value!;
    }

    /// <summary>Its word among the levels of the run alone, which names no section.</summary>
    public string WordOf(RunHeader run)
    {
        ArgumentNullException.ThrowIfNull(run);
        return $"{BenchViews.Word(run.Plan.Connection.Kind)}.{Level}";
    }

    /// <summary>Its value in a run; null where the run has none.</summary>
    /// <param name="levels">Of the run, by their words without a section.</param>
    public Figure? In(RunHeader run, IReadOnlyDictionary<string, Figure> levels)
    {
        ArgumentNullException.ThrowIfNull(levels);
        return levels.TryGetValue(WordOf(run), out var figure) && figure.Value is not null ? figure : null;
    }

    /// <summary>All of them, the one that a circuit minds most first.</summary>
    public static IReadOnlyList<FollowedLevel> All { get; } =
    [
        new("switching-drive", OfRig: false, "Sweep the tube once more before you use it."),
        new("plate-current", OfRig: false, "Sweep the tube once more; a cathode that fades and a heater that gets too little show here first."),
        new("grid-current", OfRig: false, "Screen the tube: gas, leakage and a grid that emits show here first."),
        new("supply", OfRig: true, "Measure the plate rail with a meter: the supply has changed, or the rig's channel that reads it."),
    ];
}
