using System.Collections.Concurrent;
using SweepRig.Analysis;
using SweepRig.Analysis.Health;
using SweepRig.Analysis.Models;
using SweepRig.Domain.Runs;
using SweepRig.Domain.Screening;
using SweepRig.Domain.Stock;
using SweepRig.Domain.Tubes;
using SweepRig.Service.Fits;
using SweepRig.Service.Live;
using SweepRig.Storage;
using SweepRig.Tubes.Model;

namespace SweepRig.Service.Stock;

/// <summary>
/// Figures of tubes, worked out of their newest runs. What was worked out of a run that has ended is kept for the next asking: such a run never changes, and its figures are those
/// of the calibration it was measured with. The work is done on the workbench. Safe from any thread.
/// </summary>
public sealed class FigureShelf(Workbench workbench)
{
    /// <summary>Sets of figures kept, each some 15 kB: the newest of a thousand tubes. Beyond it all are let go, and worked out anew when asked for.</summary>
    private const int Most = 4_000;

    private readonly ConcurrentDictionary<string, IReadOnlyDictionary<string, Figure>> _kept = new(StringComparer.Ordinal);

    /// <param name="store">Where the runs are.</param>
    /// <param name="label">Number of the tube.</param>
    /// <param name="sources">What to read.</param>
    /// <param name="cancellationToken">The asker has gone.</param>
    public async Task<TubeFigures> ReadAsync(RunStore store, string label, FigureSources sources, CancellationToken cancellationToken)
    {
        var recorded = await store.OfTubeAsync(label, cancellationToken);
        var own = TubeNumber.Split(label).Section;
        var whole = await ReadAsync(store, label, OfSection(recorded, own), sources, cancellationToken);
        var figures = new Dictionary<string, Figure>(whole.Figures, StringComparer.Ordinal);
        var runs = new List<string>(whole.Runs);
        // Each section of a double triode is judged for itself: its figures stand under words of their own, as triode.vol/2.
        foreach (var section in recorded.Select(r => r.Header.Tube.Section).Where(s => s != own).OfType<int>().Distinct().Order())
        {
            var part = await ReadAsync(store, label, OfSection(recorded, section), sources & ~FigureSources.Curves, cancellationToken);
            foreach (var (word, figure) in part.Figures) figures[StockQuantities.OfSection(word, section)] = figure;
            runs.AddRange(part.Runs);
        }
        return whole with { Figures = figures, Runs = runs };
    }

    private async Task<TubeFigures> ReadAsync(RunStore store, string label, IReadOnlyList<RunRecord> recorded, FigureSources sources, CancellationToken cancellationToken)
    {
        var newest = TubeFigures.NewestSweeps(recorded);
        var figures = new Dictionary<string, Figure>(StringComparer.Ordinal);
        if (sources.HasFlag(FigureSources.Levels))
            foreach (var record in newest) Add(await LevelsAsync(store, record, cancellationToken));
        if (sources.HasFlag(FigureSources.Fit) && newest.Count > 0) Add(await FitAsync(store, newest, cancellationToken));
        if (sources.HasFlag(FigureSources.Health) && recorded.FirstOrDefault(r => r.Header.Screening is not null && r.State != RunState.Running)?.Header.Screening is { } screening)
            Add(await HealthAsync(store, [.. recorded.Where(r => r.Header.Screening?.ScreeningId == screening.ScreeningId).Reverse()], cancellationToken));
        var curves = new Dictionary<ConnectionKind, Curve>();
        if (sources.HasFlag(FigureSources.Curves))
            foreach (var record in newest)
                if (TubeFigures.FirstUp((await RecordedRun.ReadAsync(store, record, cancellationToken)).Drawn, c => c.Pass) is { } curve) curves[record.Header.Plan.Connection.Kind] = curve;
        return new(label, figures, [.. newest.Select(r => r.Header.Id)])
        {
            Curves = curves,
            Circuits = newest.ToDictionary(r => r.Header.Plan.Connection.Kind, r => r.Header.Plan.Connection),
        };

        void Add(IReadOnlyDictionary<string, Figure> some)
        {
            foreach (var (word, figure) in some) figures[word] = figure;
        }
    }

    /// <summary>A level, or a figure of the screening, at each measurement of a tube.</summary>
    /// <param name="word">See <see cref="StockQuantities"/>; not of a fitted constant.</param>
    /// <param name="most">Newest measurements looked at.</param>
    /// <returns>The oldest first.</returns>
    public async Task<IReadOnlyList<PastFigure>> HistoryAsync(RunStore store, string label, string word, int most, CancellationToken cancellationToken)
    {
        var (bare, section) = TubeNumber.Split(word);
        var recorded = OfSection(await store.OfTubeAsync(label, cancellationToken), section ?? TubeNumber.Split(label).Section);
        var past = new List<PastFigure>();
        if (word.StartsWith(StockQuantities.HealthPrefix, StringComparison.Ordinal))
        {
            foreach (var steps in recorded.Where(r => r.Header.Screening is not null && r.State != RunState.Running).GroupBy(r => r.Header.Screening!.ScreeningId).Take(most))
            {
                var figures = await HealthAsync(store, [.. steps.Reverse()], cancellationToken);
                past.Add(new(steps.Last().Header.Id, steps.Last().Header.StartedUtc, null, figures[bare]));
            }
        }
        else
        {
            var kind = Enum.GetValues<ConnectionKind>().First(k => word.StartsWith(BenchViews.Word(k) + ".", StringComparison.Ordinal));
            foreach (var record in recorded.Where(r => TubeFigures.IsSweepIn(r, kind)).Take(most))
            {
                var figures = await LevelsAsync(store, record, cancellationToken);
                if (figures.TryGetValue(bare, out var figure)) past.Add(new(record.Header.Id, record.Header.StartedUtc, record.Header.Plan.Connection, figure));
            }
        }
        past.Reverse();
        return past;
    }

    private static RunRecord[] OfSection(IReadOnlyList<RunRecord> recorded, int? section) => [.. recorded.Where(r => r.Header.Tube.Section == section)];

    /// <summary>Levels of one sweep, by words without a section. They are not kept for it: who follows a tube through a night asks for each sweep once.</summary>
    public async Task<IReadOnlyDictionary<string, Figure>> OfSweepAsync(RunStore store, RunRecord record, CancellationToken cancellationToken) =>
        _kept.TryGetValue(LevelsKey(record), out var kept) ? kept : await FindLevelsAsync(store, record, cancellationToken);

    private Task<IReadOnlyDictionary<string, Figure>> LevelsAsync(RunStore store, RunRecord record, CancellationToken cancellationToken) =>
        KeptAsync(LevelsKey(record), () => FindLevelsAsync(store, record, cancellationToken), cancellationToken);

    private async Task<IReadOnlyDictionary<string, Figure>> FindLevelsAsync(RunStore store, RunRecord record, CancellationToken cancellationToken)
    {
        var run = await RecordedRun.ReadAsync(store, record, cancellationToken);
        return await workbench.RunAsync(() => TubeFigures.Levels(run), cancellationToken);
    }

    private static string LevelsKey(RunRecord record) => "levels " + record.Header.Id;

    private Task<IReadOnlyDictionary<string, Figure>> HealthAsync(RunStore store, IReadOnlyList<RunRecord> steps, CancellationToken cancellationToken) => KeptAsync(
        $"health {steps[0].Header.Screening!.ScreeningId} {steps.Count}",
        async () =>
        {
            var runs = new List<ScreeningRun>();
            foreach (var step in steps)
            {
                var run = await RecordedRun.ReadAsync(store, step, cancellationToken);
                runs.Add(new(run.Header, step.State, run.Curves.Count > 0 ? run.Curves[0] : null, step.Trips));
            }
            return await workbench.RunAsync(() => HealthFinder.Find(runs).Items.ToDictionary(i => StockQuantities.HealthPrefix + i.Name, i => i.Figure, StringComparer.Ordinal), cancellationToken);
        },
        cancellationToken);

    private Task<IReadOnlyDictionary<string, Figure>> FitAsync(RunStore store, IReadOnlyList<RunRecord> records, CancellationToken cancellationToken) => KeptAsync(
        "fit " + string.Join(' ', records.Select(r => r.Header.Id)),
        async () =>
        {
            var runs = new List<RecordedRun>();
            foreach (var record in records) runs.Add(await RecordedRun.ReadAsync(store, record, cancellationToken));
            return await workbench.RunAsync(() => Constants(runs, cancellationToken), cancellationToken);
        },
        cancellationToken);

    private async Task<IReadOnlyDictionary<string, Figure>> KeptAsync(string key, Func<Task<IReadOnlyDictionary<string, Figure>>> work, CancellationToken cancellationToken)
    {
        if (_kept.TryGetValue(key, out var kept)) return kept;
        cancellationToken.ThrowIfCancellationRequested();
        var made = await work();
        if (_kept.Count >= Most) _kept.Clear();
        return _kept[key] = made;
    }

    private static Dictionary<string, Figure> Constants(IReadOnlyList<RecordedRun> runs, CancellationToken cancellation)
    {
        if (runs.Sum(r => r.Curves.Sum(c => (long)c.Count)) > ChosenRuns.MostPoints)
            return AllAbsent($"the newest sweeps have more than {ChosenRuns.MostPoints} points together; sweep with fewer points or repeats");
        var fit = TubeFits.Fit(runs, cancellation);
        if (fit.Status == ModelFitStatus.Refused) return AllAbsent(FitViewMaker.Says(fit));
        var mark = fit.Status == ModelFitStatus.Doubtful ? FitViewMaker.Says(fit) : null;
        return fit.Constants.ToDictionary(c => StockQuantities.Word(c.Constant), c => c.Figure with { Mark = c.Figure.Mark ?? mark }, StringComparer.Ordinal);

        static Dictionary<string, Figure> AllAbsent(string because) =>
            TubeCoordinates.All.ToDictionary(c => StockQuantities.Word(c), c => Figure.None(TubeCoordinates.Unit(c), because), StringComparer.Ordinal);
    }
}
