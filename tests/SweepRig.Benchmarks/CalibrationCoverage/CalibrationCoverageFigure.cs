using System.Collections.Concurrent;
using SweepRig.Sweeps.Tests.Calibrating;

namespace SweepRig.Benchmarks.CalibrationCoverage;

/// <summary>
/// 1,000 simulated rigs, each with a false gain and offset of its own and a meter of its own, calibrated through runner, link and procedure. Then one fresh voltage on each channel and
/// the drive: how often does the corrected reading agree with the truth within its stated expanded uncertainty?
/// </summary>
public static class CalibrationCoverageFigure
{
    private const int Seeds = 1_000;

    /// <summary>A rig waits for its own status most of the time; not too many at once, or a busy machine would let leases run out.</summary>
    private static readonly int AtOnce = 4 * Environment.ProcessorCount;

    /// <summary>Leases run by the machine's clock: a machine too busy to renew one trips the rig or drops its rail, as it would in life. Such a seed is begun anew, and the count of them is told; one that is refused each time is a failure.</summary>
    private const int Attempts = 6;

    public static async Task<FigureLine> MeasureAsync()
    {
        var checks = new ConcurrentBag<TruthCheck>();
        var failed = new ConcurrentBag<string>();
        var again = 0;
        await Parallel.ForAsync(1, Seeds + 1, new ParallelOptions { MaxDegreeOfParallelism = AtOnce }, async (seed, _) =>
        {
            for (var attempt = 1; ; attempt++)
            {
                try
                {
                    foreach (var check in await FalseRig.CheckAsync(seed)) checks.Add(check);
                    return;
                }
                catch (InvalidOperationException) when (attempt < Attempts)
                {
                    Interlocked.Increment(ref again);
                }
                catch (InvalidOperationException fault)
                {
                    failed.Add($"seed {seed}: {fault.Message}");
                    return;
                }
            }
        });
        foreach (var line in failed.Order(StringComparer.Ordinal)) Console.Error.WriteLine(line);
        var byName = checks.GroupBy(c => c.Name).Select(g => (g.Key, Share: 100.0 * g.Count(c => c.Agrees) / g.Count())).OrderBy(g => g.Share).ToArray();
        var share = checks.IsEmpty ? 0 : 100.0 * checks.Count(c => c.Agrees) / checks.Count;
        var rms = Math.Sqrt(checks.Average(c => c.ErrorVolts * c.ErrorVolts));
        return new(
            "calibration-coverage",
            $"{FigureLine.Text(share, "0.0")} % of {checks.Count} corrected readings within the stated 95 % interval",
            "90 to 99 %, all seeds through",
            $"{Seeds - failed.Count} of {Seeds} seeds, {again} begun anew for a busy machine; lowest {byName.FirstOrDefault().Key} {FigureLine.Text(byName.FirstOrDefault().Share, "0.0")} %, highest {byName.LastOrDefault().Key} {FigureLine.Text(byName.LastOrDefault().Share, "0.0")} %; error {FigureLine.Text(1000 * rms, "0.0")} mV rms, interval ±{FigureLine.Text(1000 * checks.Average(c => c.ExpandedVolts), "0.0")} mV",
            failed.IsEmpty && share is >= 90 and <= 99);
    }
}
