using SweepRig.Analysis;
using SweepRig.Analysis.Levels;
using SweepRig.Domain.Runs;
using SweepRig.Domain.Tubes;
using SweepRig.Service.Live;

namespace SweepRig.Service.Stock;

/// <summary>What is known of a tube by its newest sweeps and its newest screening.</summary>
/// <param name="Label">The number written on it.</param>
/// <param name="Figures">By word, see <see cref="StockQuantities"/>; a word that is missing was not measured.</param>
/// <param name="Runs">Ids of the newest sweeps, one a connection.</param>
public sealed record TubeFigures(string Label, IReadOnlyDictionary<string, Figure> Figures, IReadOnlyList<string> Runs)
{
    /// <summary>Curves of those sweeps, where they were asked for.</summary>
    public IReadOnlyDictionary<ConnectionKind, Curve> Curves { get; init; } = new Dictionary<ConnectionKind, Curve>();

    /// <summary>The circuits of those sweeps, as their plans state them.</summary>
    public IReadOnlyDictionary<ConnectionKind, Connection> Circuits { get; init; } = new Dictionary<ConnectionKind, Connection>();

    /// <summary>Whether a run is a whole sweep in a connection; screenings, studies, families and sweeps that were broken off do not count.</summary>
    public static bool IsSweepIn(RunRecord run, ConnectionKind kind) =>
        run.State == RunState.Complete && run.Header is { Screening: null, Study: null, Plan.SecondSource: null } && run.Header.Plan.Connection.Kind == kind;

    /// <summary>The newest whole sweep in each connection that has one.</summary>
    /// <param name="recorded">Runs of one tube or section, the newest first.</param>
    public static IReadOnlyList<RunRecord> NewestSweeps(IReadOnlyList<RunRecord> recorded) =>
        [.. Enum.GetValues<ConnectionKind>().Select(kind => recorded.FirstOrDefault(r => IsSweepIn(r, kind))).OfType<RunRecord>()];

    /// <summary>Levels of the first pass upwards of a sweep, by their words; none where it has no whole curve.</summary>
    public static IReadOnlyDictionary<string, Figure> Levels(RecordedRun run)
    {
        var curve = FirstUp(RunLevelFinder.Find(run.Header, run.Curves, new LevelOptions()).Curves, c => c.Pass);
        return curve is null
            ? new Dictionary<string, Figure>()
            : NamedLevels.All.ToDictionary(l => StockQuantities.Word(run.Header.Plan.Connection.Kind, l), l => l.Of(curve), StringComparer.Ordinal);
    }

    /// <summary>The first that was made upwards, else the first; null where there is none.</summary>
    public static T? FirstUp<T>(IReadOnlyList<T> passes, Func<T, PassHeader> of)
        where T : class => passes.FirstOrDefault(p => of(p).Direction == PassDirection.Up) ?? (passes.Count > 0 ? passes[0] : null);
}
