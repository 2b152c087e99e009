using SweepRig.Analysis;
using SweepRig.Analysis.Drift;
using SweepRig.Domain.Runs;
using SweepRig.Storage;

namespace SweepRig.Service.Stock;

/// <summary>A followed level at the first and at the newest sweep that have a value of it.</summary>
/// <param name="Level">Which.</param>
/// <param name="Word">As a quantity of the tube, or of the section of it, that was swept.</param>
/// <param name="HasChanged">By more than the two measurements can be wrong together.</param>
/// <param name="Says">In a sentence.</param>
public sealed record FollowedDrift(FollowedLevel Level, string Word, bool HasChanged, string Says)
{
    // From either end: a level that so many sweeps do not have is one that the tube does not have in this circuit.
    private const int MostLooks = 8;

    /// <summary>How a tube has changed in the circuit of a run. Reads a few sweeps, however many there are, and keeps none.</summary>
    /// <param name="newest">Newest whole sweep of the tube.</param>
    /// <returns>Of each level that two sweeps have, in the order of <see cref="FollowedLevel.All"/>.</returns>
    public static async Task<IReadOnlyList<FollowedDrift>> ReadAsync(RunStore store, FigureShelf shelf, RunHeader newest, CancellationToken cancellationToken)
    {
        ArgumentNullException.ThrowIfNull(store);
        ArgumentNullException.ThrowIfNull(newest);
        RunRecord[] sweeps =
        [
            .. (await store.OfTubeAsync(newest.Tube.Label, cancellationToken))
                .Where(r => r.Header.Tube.Section == newest.Tube.Section && TubeFigures.IsSweepIn(r, newest.Plan.Connection.Kind)).Take(TubeDrift.MostPoints).Where(r => r.Header.Plan.Connection == newest.Plan.Connection),
        ];
        var last = await EndAsync(store, shelf, sweeps.Take(MostLooks), cancellationToken);
        var first = await EndAsync(store, shelf, sweeps.Reverse().Take(MostLooks), cancellationToken);
        return [.. FollowedLevel.All.Select((level, n) => Of(level, newest, first[n], last[n])).OfType<FollowedDrift>()];
    }

    private static FollowedDrift? Of(FollowedLevel level, RunHeader run, (RunHeader Run, Figure Figure)? first, (RunHeader Run, Figure Figure)? last)
    {
        if (first is not { } from || last is not { } to || from.Run.Id == to.Run.Id) return null;
        var series = DriftSeries.Of([from.Figure, to.Figure]);
        return new(level, level.Of(run).Word, series.Points[^1].HasChanged, DriftWords.Of(series, [from.Run.StartedUtc, to.Run.StartedUtc]).First());
    }

    // The first of the sweeps that has a value of each level.
    private static async Task<(RunHeader Run, Figure Figure)?[]> EndAsync(RunStore store, FigureShelf shelf, IEnumerable<RunRecord> sweeps, CancellationToken cancellationToken)
    {
        var found = new (RunHeader, Figure)?[FollowedLevel.All.Count];
        foreach (var sweep in sweeps)
        {
            if (Array.TrueForAll(found, f => f is not null)) break;
            var levels = await shelf.OfSweepAsync(store, sweep, cancellationToken);
            for (var n = 0; n < found.Length; n++)
                if (found[n] is null && FollowedLevel.All[n].In(sweep.Header, levels) is { } figure) found[n] = (sweep.Header, figure);
        }
        return found;
    }
}
