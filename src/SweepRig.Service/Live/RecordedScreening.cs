using SweepRig.Analysis.Health;
using SweepRig.Domain;
using SweepRig.Domain.Runs;
using SweepRig.Domain.Screening;
using SweepRig.Storage;

namespace SweepRig.Service.Live;

/// <summary>A health report made anew from the runs that a screening left on record.</summary>
public static class RecordedScreening
{
    private const int PageOfRuns = 50;

    /// <summary>A screening takes minutes; its runs lie no further apart than this.</summary>
    private static readonly TimeSpan Longest = TimeSpan.FromHours(1);

    /// <param name="run">Any run of the screening.</param>
    /// <param name="calibration">That the figures are to be derived with, as for any run; null for as measured.</param>
    /// <returns>The report; or why there is none: the run belongs to no screening, or the calibration is unknown.</returns>
    public static async Task<Outcome<HealthReport>> ReadAsync(
        RunStore store, CalibrationStore calibrations, RunRecord run, string? calibration, CancellationToken cancellationToken)
    {
        if (run.Header.Screening is not { } tag)
        {
            return Outcome<HealthReport>.Refuse(new Refusal(
                "run-is-no-screening", "", $"the health of tube {run.Header.Tube.Label} was asked for by run {run.Header.Id}", "this run is a sweep, and no step of a screening",
                $"Screen the tube: sweeprig screen --tube {run.Header.Tube.Label} --type {run.Header.Tube.TypeName}."));
        }
        List<ScreeningRun> runs = [];
        foreach (var record in await OfAsync(store, run, tag, cancellationToken))
        {
            var read = await RecordedRun.ReadAsync(store, calibrations, record, calibration, cancellationToken);
            if (!read.IsAccepted) return Outcome<HealthReport>.Refuse(read.Refusals);
            runs.Add(new(record.Header with { Calibration = read.Value.InForce }, record.State, read.Value.Curves.Count > 0 ? read.Value.Curves[0] : null, record.Trips));
        }
        return Outcome<HealthReport>.Accept(HealthFinder.Find(runs));
    }

    /// <summary>All runs of the screening, in the order they were made.</summary>
    private static async Task<List<RunRecord>> OfAsync(RunStore store, RunRecord run, ScreeningTag tag, CancellationToken cancellationToken)
    {
        List<RunRecord> found = [];
        // Ids begin with their time (RFC 9562), so a later time bounds them from above.
        var before = Guid.CreateVersion7(run.Header.StartedUtc + Longest).ToString("N");
        while (await store.ListAsync(PageOfRuns, before, cancellationToken) is { Count: > 0 } page)
        {
            found.AddRange(page.Where(r => r.Header.Screening?.ScreeningId == tag.ScreeningId));
            if (page[^1].Header.StartedUtc < run.Header.StartedUtc - Longest) break;
            before = page[^1].Header.Id;
        }
        found.Reverse();
        return found;
    }
}
