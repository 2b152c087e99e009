using Microsoft.EntityFrameworkCore;
using SweepRig.Storage.Schema;

namespace SweepRig.Storage;

/// <summary>
/// Nights and their steps, in the store of the runs. A step is written before it is begun and again when it is done with, so that a process that dies leaves behind what was
/// under way. Durable when a method returns. Safe from any thread; throws <see cref="RunStoreException"/> as the run store does.
/// </summary>
public sealed class NightStore(RunStore runs, TimeProvider clock)
{
    public Task BeginAsync(StoredNight night, CancellationToken cancellationToken)
    {
        ArgumentNullException.ThrowIfNull(night);
        var bench = BenchName.Of(runs.Place.DataDirectory);
        return runs.InTurnAsync(
            async context =>
            {
                context.Nights.Add(new()
                {
                    Id = night.Id, Bench = bench, Rig = night.Rig, Name = night.Name, Begun = RunRows.Text(night.BegunUtc), Document = night.Document, Tubes = night.Tubes, Forecast = night.Forecast,
                    Progress = night.Progress,
                });
                await context.SaveChangesAsync(cancellationToken).ConfigureAwait(false);
                return (true, true);
            },
            cancellationToken);
    }

    /// <summary>Writes steps, each anew or over what stands of the same attempt, and the progress of the night with them.</summary>
    /// <exception cref="KeyNotFoundException">No such night.</exception>
    public Task SaveAsync(string night, IReadOnlyList<StoredNightStep> steps, string progress, CancellationToken cancellationToken) => runs.InTurnAsync(
        async context => (await SaveAsync(context, night, steps, progress, cancellationToken).ConfigureAwait(false), true), cancellationToken);

    /// <summary>The same, and the night is over.</summary>
    public Task EndAsync(string night, IReadOnlyList<StoredNightStep> steps, string progress, string because, CancellationToken cancellationToken) => runs.InTurnAsync(
        async context =>
        {
            var row = await SaveAsync(context, night, steps, progress, cancellationToken).ConfigureAwait(false);
            (row.Ended, row.EndedBecause) = (RunRows.Text(clock.GetUtcNow()), because);
            await context.SaveChangesAsync(cancellationToken).ConfigureAwait(false);
            return (true, true);
        },
        cancellationToken);

    /// <summary>The night of a rig of this bench that is not over; null for none.</summary>
    public Task<StoredNight?> UnderWayAsync(string rig, CancellationToken cancellationToken)
    {
        var bench = BenchName.Of(runs.Place.DataDirectory);
        return runs.OnContextAsync(
            async context => await context.Nights.AsNoTracking().Where(n => n.Bench == bench && n.Rig == rig && n.Ended == null).OrderByDescending(n => n.Id).FirstOrDefaultAsync(cancellationToken)
                .ConfigureAwait(false) is { } row ? Read(row) : null,
            cancellationToken);
    }

    /// <summary>The newest nights, newest first.</summary>
    /// <param name="limit">At most this many, 1 or more.</param>
    /// <param name="rig">Of this station alone; null for all.</param>
    public Task<IReadOnlyList<StoredNight>> ListAsync(int limit, string? rig, CancellationToken cancellationToken)
    {
        ArgumentOutOfRangeException.ThrowIfLessThan(limit, 1);
        return runs.OnContextAsync<IReadOnlyList<StoredNight>>(
            async context =>
            {
                var query = context.Nights.AsNoTracking();
                if (rig is not null) query = query.Where(n => n.Rig == rig);
                return (await query.OrderByDescending(n => n.Id).Take(limit).ToListAsync(cancellationToken).ConfigureAwait(false)).ConvertAll(Read);
            },
            cancellationToken);
    }

    /// <returns>The night; null if there is none of that id.</returns>
    public Task<StoredNight?> FindAsync(string id, CancellationToken cancellationToken) => runs.OnContextAsync(
        async context => await context.Nights.AsNoTracking().SingleOrDefaultAsync(n => n.Id == id, cancellationToken).ConfigureAwait(false) is { } row ? Read(row) : null, cancellationToken);

    /// <summary>All that is on record of the steps of a night, in the order in which it was written first.</summary>
    public Task<IReadOnlyList<StoredNightStep>> StepsAsync(string id, CancellationToken cancellationToken) => runs.OnContextAsync<IReadOnlyList<StoredNightStep>>(
        async context => (await context.NightSteps.AsNoTracking().Where(s => context.Nights.Any(n => n.Id == id && n.Number == s.Night)).OrderBy(s => s.Number).ToListAsync(cancellationToken)
            .ConfigureAwait(false)).ConvertAll(Read),
        cancellationToken);

    private static async Task<NightRow> SaveAsync(RunContext context, string night, IReadOnlyList<StoredNightStep> steps, string progress, CancellationToken cancellationToken)
    {
        var row = await context.Nights.SingleOrDefaultAsync(n => n.Id == night, cancellationToken).ConfigureAwait(false) ?? throw new KeyNotFoundException($"SweepRig bug: night {night} is not on record.");
        row.Progress = progress;
        foreach (var step in steps)
        {
            var stored = await context.NightSteps.SingleOrDefaultAsync(s => s.Night == row.Number && s.Step == step.Step && s.Attempt == step.Attempt, cancellationToken).ConfigureAwait(false);
            if (stored is null)
            {
                stored = new() { Night = row.Number, Step = step.Step, Attempt = step.Attempt, Job = step.Job, Socket = step.Socket, Turn = step.Turn, Tube = step.Tube, State = step.State, Runs = "" };
                context.NightSteps.Add(stored);
            }
            (stored.State, stored.Began, stored.Ended, stored.Verdict) = (step.State, step.Began?.TotalSeconds, step.Ended?.TotalSeconds, step.Verdict);
            (stored.Runs, stored.Coulombs) = (string.Join(' ', step.Runs), step.Coulombs);
        }
        await context.SaveChangesAsync(cancellationToken).ConfigureAwait(false);
        return row;
    }

    private static StoredNight Read(NightRow row) => new(
        row.Id, row.Rig, row.Name, RunRows.Time(row.Begun), row.Ended is null ? null : RunRows.Time(row.Ended), row.EndedBecause, row.Document, row.Tubes, row.Forecast, row.Progress);

    private static StoredNightStep Read(NightStepRow row) => new(
        row.Step, row.Attempt, row.Job, row.Socket, row.Turn, row.Tube, row.State, Span(row.Began), Span(row.Ended), row.Verdict, row.Runs.Split(' ', StringSplitOptions.RemoveEmptyEntries), row.Coulombs);

    private static TimeSpan? Span(double? seconds) => seconds is { } s ? TimeSpan.FromSeconds(s) : null;
}
