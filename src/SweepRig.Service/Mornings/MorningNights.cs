using System.Text.Json;
using SweepRig.Service.Contract;
using SweepRig.Service.Live;
using SweepRig.Service.Nights;
using SweepRig.Storage;
using SweepRig.Sweeps.Queue;

namespace SweepRig.Service.Mornings;

/// <summary>The nights of a time, predicted and happened, from what is on record of them.</summary>
public static class MorningNights
{
    private const int MostLookedAt = 100;

    public static async Task<MorningNightView[]> ReadAsync(NightStore nights, MorningSpan span, CancellationToken cancellationToken)
    {
        ArgumentNullException.ThrowIfNull(nights);
        ArgumentNullException.ThrowIfNull(span);
        var found = new List<MorningNightView>();
        foreach (var night in (await nights.ListAsync(MostLookedAt, null, cancellationToken)).Where(n => n.BegunUtc < span.UntilUtc && (n.EndedUtc is not { } ended || ended >= span.FromUtc)).Reverse())
            found.Add(Of(night, await nights.StepsAsync(night.Id, cancellationToken)));
        return [.. found];
    }

    /// <summary>Pure.</summary>
    public static MorningNightView Of(StoredNight night, IReadOnlyList<StoredNightStep> stored)
    {
        ArgumentNullException.ThrowIfNull(night);
        var steps = StoredNightViews.Steps(night, stored, 0, int.MaxValue).Steps;
        var limits = NightDocument.Limits(night.Document);
        var used = Progress(night.Progress);
        return new(
            night.Id, night.Rig, night.Name, BenchViews.Utc(night.BegunUtc), night.EndedUtc is { } ended ? BenchViews.Utc(ended) : null, night.EndedBecause,
            used?.HeaterSeconds, limits?.HeaterTime?.TotalSeconds, used?.Coulombs * 1e3, limits?.PositiveCoulombs * 1e3,
            [.. steps.GroupBy(s => s.Job).Select(Job)]);
    }

    private static MorningJobView Job(IGrouping<string, NightStepView> job)
    {
        int Count(string state) => job.Count(s => s.State == state);
        // As many as began; a job that is not over has no end yet.
        var under = job.Any(s => s.State is "running" or "waiting");
        return new(
            job.Key, job.Count(), Count("passed"), Count("failed"), Count("skipped"), Count("not-reached"), Least(job.Select(s => s.PredictedBeginUtc)), Most(job.Select(s => s.PredictedEndUtc)),
            Least(job.Select(s => s.BeganUtc)), under ? null : Most(job.Select(s => s.EndedUtc)));
    }

    private static NightProgress? Progress(string text)
    {
        try
        {
            return NightRecords.Read<NightProgress>(text);
        }
        catch (JsonException)
        {
            // Of a version that kept it otherwise: the rest of the night is told all the same.
            return null;
        }
    }

    // Times of one form sort as text.
    private static string? Least(IEnumerable<string?> utc) => utc.OfType<string>().Min(StringComparer.Ordinal);

    private static string? Most(IEnumerable<string?> utc) => utc.OfType<string>().Max(StringComparer.Ordinal);
}
