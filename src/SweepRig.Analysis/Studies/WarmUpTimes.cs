using SweepRig.Domain.Runs;

namespace SweepRig.Analysis.Studies;

/// <summary>When a tube that was switched on from cold reaches parts of its final current.</summary>
/// <param name="ToHalf">To 50 %, s.</param>
/// <param name="ToMost">To 90 %, s.</param>
/// <param name="ToAll">To 99 %, s.</param>
/// <param name="Final">Mean current of the last tenth of the time watched, A.</param>
/// <param name="CameToRest">The last tenth lies within 0.5 % of the one before: the final current is final.</param>
/// <param name="Seconds">When each reading was taken, since the heater was switched on.</param>
/// <param name="Amps">Current of plate and screen.</param>
public sealed record WarmUpTimes(Figure ToHalf, Figure ToMost, Figure ToAll, double Final, bool CameToRest, double[] Seconds, double[] Amps)
{
    /// <summary>
    /// From the switching of heater and rail to the first sample: two statuses of the rig, 100 ms apart, are waited for, and the program is sent. Rectangular, 0.1 to 0.26 s.
    /// </summary>
    public const double LeadSeconds = 0.18, LeadUncertainty = 0.05;

    private const double RestPart = 0.005;

    /// <summary>Half of what is averaged, of the time since the switching on.</summary>
    private const double Window = 0.02;

    /// <summary>Least current that is one, A.</summary>
    public const double LeastAmps = 50e-6;

    /// <param name="curve">One drive held, from the moment that the heater was switched on.</param>
    public static WarmUpTimes Of(Curve curve)
    {
        ArgumentNullException.ThrowIfNull(curve);
        int[] seen = [.. Enumerable.Range(0, curve.Count).Where(i => double.IsFinite(curve.PlateCurrent[i]) && curve.SampledAtTicks[i] > 0)];
        double[] amps = [.. seen.Select(i => curve.PlateCurrent[i] + (double.IsFinite(curve.ScreenCurrent[i]) ? curve.ScreenCurrent[i] : 0))];
        double[] seconds = [.. seen.Select(i => LeadSeconds + (curve.SampledAtTicks[i] - curve.SampledAtTicks[seen[0]]) * 1e-6)];
        if (seen.Length < 20)
        {
            var none = Figure.None("s", $"only {seen.Length} readings; 20 or more are needed");
            return new(none, none, none, double.NaN, false, seconds, amps);
        }
        var tenth = seen.Length / 10;
        var (final, before) = (amps[^tenth..].Average(), amps[^(2 * tenth)..^tenth].Average());
        // Of neighbouring differences, which slow changes leave out (von Neumann 1941, Ann. Math. Statist. 12, 367; from memory).
        var noise = Math.Sqrt(amps.Zip(amps.Skip(1), (a, b) => (b - a) * (b - a)).TakeLast(2 * tenth).Average() / 2);
        var sums = new double[amps.Length + 1];
        for (var i = 0; i < amps.Length; i++) sums[i + 1] = sums[i] + amps[i];
        double Mean(int i, int half) => (sums[i + half + 1] - sums[i - half]) / (2 * half + 1);
        Figure To(double part)
        {
            var name = FormattableString.Invariant($"{100 * part:0} %");
            if (!(final >= LeastAmps)) return Figure.None("s", "hardly any current flows");
            if (part * final <= amps.Take(3).Average()) return Figure.None("s", $"{name} flowed already at the first reading: the tube was not cold");
            var wanted = part * final;
            var at = -1;
            // Not by a lucky reading: the mean of those about it has to be there, of the more the slower the current rises.
            var half = 3;
            for (var i = half; i < amps.Length - half && at < 0; i++)
            {
                half = Math.Max(3, (int)(Window * i));
                if (i + half < amps.Length && Mean(i, half) >= wanted) at = i;
            }
            if (at < 0) return Figure.None("s", $"{name} was not reached");
            var (first, last) = (Math.Max(half, at - 2 * half), Math.Min(amps.Length - 1 - half, at + 2 * half));
            var slope = last > first ? (Mean(last, half) - Mean(first, half)) / (seconds[last] - seconds[first]) : 0;
            var step = (seconds[^1] - seconds[0]) / (seconds.Length - 1);
            // The final current is as sure as what its last tenth still moved.
            var level = Math.Sqrt(noise * noise * (1.0 / (2 * half + 1) + 1.0 / tenth) + Math.Pow(part * (final - before), 2) / 3);
            var byLevel = slope > 0 ? Math.Min(level / slope, seconds[at]) : seconds[at];
            return Figure.Of(seconds[at], "s", Math.Sqrt(LeadUncertainty * LeadUncertainty + step * step / 3 + byLevel * byLevel));
        }
        return new(To(0.5), To(0.9), To(0.99), final, Math.Abs(final - before) <= RestPart * Math.Abs(final) + noise, seconds, amps);
    }
}
