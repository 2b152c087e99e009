using SweepRig.Analysis;
using SweepRig.Analysis.Drift;
using SweepRig.Domain.Runs;
using SweepRig.Service.Stock;
using SweepRig.Storage;

namespace SweepRig.Service.Watching;

/// <summary>One more measurement of a followed level.</summary>
/// <param name="Point">It, held against the first.</param>
/// <param name="HadChanged">The measurement before it had changed beyond uncertainty.</param>
internal readonly record struct CourseStep(DriftPoint Point, bool HadChanged);

/// <summary>
/// What a tube showed at its first sweep in a circuit, and whether its newest had changed from that: all that following it takes, however many sweeps there are in between. Owned by one task.
/// </summary>
internal sealed class TubeCourse
{
    private readonly Figure?[] _first = new Figure?[FollowedLevel.All.Count];
    private readonly bool[] _changed = new bool[FollowedLevel.All.Count];

    /// <summary>Reads it from the sweeps before a run: the first with a value of each level, and the last.</summary>
    /// <param name="earlier">Whole sweeps of the tube in the circuit, the newest first.</param>
    public static async Task<TubeCourse> ReadAsync(RunStore runs, FigureShelf shelf, IReadOnlyList<RunRecord> earlier, CancellationToken cancellationToken)
    {
        var course = new TubeCourse();
        foreach (var record in earlier.Reverse())
        {
            if (Array.TrueForAll(course._first, f => f is not null)) break;
            course.Begin(record.Header, await shelf.OfSweepAsync(runs, record, cancellationToken));
        }
        var unknown = Enumerable.Range(0, course._first.Length).Where(i => course._first[i] is not null).ToHashSet();
        foreach (var record in earlier)
        {
            if (unknown.Count == 0) break;
            var levels = await shelf.OfSweepAsync(runs, record, cancellationToken);
            foreach (var level in unknown.ToArray())
                if (course.Take(level, record.Header, levels) is not null) unknown.Remove(level);
        }
        return course;
    }

    /// <returns>The measurement of a level by a run; null where the run has no value of it.</returns>
    /// <param name="level">Place in <see cref="FollowedLevel.All"/>.</param>
    /// <param name="run">Its header.</param>
    /// <param name="levels">Its levels by their words without a section.</param>
    public CourseStep? Take(int level, RunHeader run, IReadOnlyDictionary<string, Figure> levels)
    {
        if (FollowedLevel.All[level].In(run, levels) is not { } figure) return null;
        var first = _first[level] ??= figure;
        var step = new CourseStep(ReferenceEquals(first, figure) ? new(figure, null, null) : DriftSeries.Of([first, figure]).Points[1], _changed[level]);
        _changed[level] = step.Point.HasChanged;
        return step;
    }

    public void ForgetChanges() => Array.Clear(_changed);

    private void Begin(RunHeader run, IReadOnlyDictionary<string, Figure> levels)
    {
        for (var i = 0; i < _first.Length; i++) _first[i] ??= FollowedLevel.All[i].In(run, levels);
    }
}
