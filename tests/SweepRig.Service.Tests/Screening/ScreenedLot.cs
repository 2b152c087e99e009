using SweepRig.Analysis.Health;
using SweepRig.Tubes.Lots;

namespace SweepRig.Service.Tests.Screening;

/// <summary>Verdict beside truth.</summary>
public sealed record ScreenedTruth(LotTube Truth, HealthReport Report)
{
    public bool IsDefective => Truth.Defect is not null;

    /// <summary>Only a plain "bad" throws a tube out, or finds one.</summary>
    public bool IsCalledBad => Report.Verdict == HealthVerdict.Bad;

    public bool IsFalseAlarm => !IsDefective && IsCalledBad;

    /// <summary>A defect that this rig could have seen, and did not.</summary>
    public bool IsMissed => Truth.Defect is { ShowsHere: true } && !IsCalledBad;
}

/// <summary>A whole lot through the screening, several rigs at once.</summary>
public static class ScreenedLot
{
    private const int Attempts = 6;

    /// <summary>Rigs that run ahead never wait; the tasks beside them must not have to wait for a thread, or their leases run out.</summary>
    private const int Threads = 24;

    /// <param name="told">Told of each tube as it is done.</param>
    public static async Task<IReadOnlyList<ScreenedTruth>> ScreenAsync(TubeLot lot, string type, int atOnce, Action<ScreenedTruth>? told = null)
    {
        ThreadPool.SetMinThreads(Threads, Threads);
        var done = new ScreenedTruth[lot.Tubes.Count];
        await Parallel.ForAsync(0, done.Length, new ParallelOptions { MaxDegreeOfParallelism = atOnce }, async (n, _) =>
        {
            done[n] = new(lot.Tubes[n], await ScreenAsync(lot, type, n));
            told?.Invoke(done[n]);
        });
        return done;
    }

    // Leases run by the machine's clock: a machine too busy to renew one trips the rig, in a step or between two, which is no fault of the tube's. Such a tube is screened anew.
    private static async Task<HealthReport> ScreenAsync(TubeLot lot, string type, int n)
    {
        for (var attempt = 1; ; attempt++)
        {
            try
            {
                var report = await ScreenedTube.ScreenAsync(lot.Tubes[n].Label, type, lot.Tubes[n].Specimen, unchecked(lot.Seed * 31 + n));
                if (attempt == Attempts || report.Verdict != HealthVerdict.NotSeen) return report;
            }
            catch (InvalidOperationException) when (attempt < Attempts)
            {
                // Tripped between two steps: once more.
            }
        }
    }
}
