using SweepRig.Service.Contract;
using SweepRig.Service.Live;
using SweepRig.Storage;

namespace SweepRig.Service.Nights;

/// <summary>A night that is on record alone, as people and programs see it. Pure.</summary>
public static class StoredNightViews
{
    public static NightStepsView Steps(StoredNight night, IReadOnlyList<StoredNightStep> stored, int from, int limit)
    {
        ArgumentNullException.ThrowIfNull(night);
        var predicted = NightRecords.Read<ForecastDocument>(night.Forecast).Steps.ToDictionary(s => s.Step);
        var last = stored.GroupBy(s => s.Step).Select(g => g.MaxBy(s => s.Attempt)!).OrderBy(s => s.Step).ToArray();
        return new(night.Id, last.Length, from, [.. last.Skip(from).Take(limit).Select(s => new NightStepView(
            s.Step, s.Job, s.Socket, s.Tube, s.Turn, s.State == NightRecords.Again ? "waiting" : s.State, s.Attempt, Utc(predicted.GetValueOrDefault(s.Step)?.Begins), Utc(predicted.GetValueOrDefault(s.Step)?.Ends),
            Utc(s.Began?.TotalSeconds), Utc(s.Ended?.TotalSeconds), s.Verdict, [.. s.Runs]))]);

        string? Utc(double? seconds) => seconds is { } s ? BenchViews.Utc(night.BegunUtc.AddSeconds(s)) : null;
    }
}
