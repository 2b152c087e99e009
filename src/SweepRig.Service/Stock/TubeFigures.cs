using SweepRig.Analysis;
using SweepRig.Analysis.Levels;
using SweepRig.Domain.Runs;
using SweepRig.Domain.Tubes;
using SweepRig.Service.Live;
using SweepRig.Storage;

namespace SweepRig.Service.Stock;

/// <summary>What is known of a tube by its newest sweeps.</summary>
/// <param name="Label">The number written on it.</param>
/// <param name="Figures">By word: connection and level, for example <c>pentode.vol</c>.</param>
/// <param name="Runs">Ids of the runs that they come from.</param>
public sealed record TubeFigures(string Label, IReadOnlyDictionary<string, Figure> Figures, IReadOnlyList<string> Runs)
{
    /// <summary>All words that a figure can have.</summary>
    public static IReadOnlyList<string> Words { get; } =
        [.. Enum.GetValues<ConnectionKind>().SelectMany(kind => NamedLevels.All.Select(level => Word(kind, level)))];

    /// <summary>Of the first pass upwards of the newest sweep in each connection; screenings, families and sweeps that were broken off do not count.</summary>
    public static async Task<TubeFigures> ReadAsync(RunStore store, string label, CancellationToken cancellationToken)
    {
        var figures = new Dictionary<string, Figure>(StringComparer.Ordinal);
        var runs = new List<string>();
        var recorded = await store.OfTubeAsync(label, cancellationToken);
        foreach (var kind in Enum.GetValues<ConnectionKind>())
        {
            var newest = recorded.FirstOrDefault(
                r => r.State == RunState.Complete && r.Header is { Screening: null, Plan.SecondSource: null } && r.Header.Plan.Connection.Kind == kind);
            if (newest is null) continue;
            var run = await RecordedRun.ReadAsync(store, newest, cancellationToken);
            var curves = RunLevelFinder.Find(run.Header, run.Curves, new LevelOptions()).Curves;
            var curve = curves.FirstOrDefault(c => c.Pass.Direction == PassDirection.Up) ?? (curves.Count > 0 ? curves[0] : null);
            if (curve is null) continue;
            runs.Add(newest.Header.Id);
            foreach (var level in NamedLevels.All) figures[Word(kind, level)] = level.Of(curve);
        }
        return new(label, figures, runs);
    }

    private static string Word(ConnectionKind kind, NamedLevel level) => $"{BenchViews.Word(kind)}.{level.Word}";
}
