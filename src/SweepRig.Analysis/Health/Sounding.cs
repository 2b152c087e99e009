using SweepRig.Domain.Runs;
using SweepRig.Domain.Screening;

namespace SweepRig.Analysis.Health;

/// <summary>Noise, hum and microphony, as voltages on the grid that would do the same.</summary>
internal static class Sounding
{
    private const double LeastGain = 2;

    /// <summary>A burst is looked for in windows of so long, s.</summary>
    private const double WindowSeconds = 0.02;

    internal static readonly HealthTopic Noise = new(
        "noise", "noise, at the grid", "V", 1.5e-3, 3e-3,
        "Root mean square of the output at rest where the tube amplifies most, hum and a straight line taken out, less that at cut-off (the converter's own), over the gain.",
        "hiss and hum (IEC 60151-5, title); limits: common practice, no source", "a bad contact, crackle, a flickering cathode", "thermal and shot noise, which are far below the converter's steps");

    internal static readonly HealthTopic Hum = new(
        "hum", "hum, amplitude at the grid", "V", 2.5e-3, 4e-3,
        "Amplitude at 50 or 60 Hz, whichever is larger, by least squares with the samples' own times, over the gain.", "hiss and hum (IEC 60151-5, title); limits: common practice, no source",
        "mains frequency that the heater or the wiring puts on the grid", "where it comes from: the rig's own heater wiring counts in; with the cathode at 0 V a leak from heater to cathode does not show");

    internal static readonly HealthTopic Microphony = new(
        "microphony", "ringing when tapped, at the grid", "V", 4e-3, 8e-3,
        "The loudest 20 ms while the bulb is tapped, as the amplitude of a sine of that power, hum and noise taken out, over the gain.",
        "noise from mechanical excitation (IEC 60151-18, title from memory); limits: common practice, no source",
        "loose electrodes, and a contact that a tap disturbs", "anything at all if nobody tapped, or softly");

    public static IEnumerable<HealthItem> Items(Screened s)
    {
        if (s.Of(ScreeningStepKind.Quiet) is not { } quiet || s.Of(ScreeningStepKind.Transfer) is not { } transfer)
        {
            var why = s.Missing(ScreeningStepKind.Quiet);
            return [Noise.NotSeen(why), Hum.NotSeen(why), Microphony.NotSeen(why)];
        }
        var holds = Screened.Holds(quiet);
        if (holds.Count < 2) return [Noise.NotSeen("samples are missing"), Hum.NotSeen("samples are missing"), Microphony.NotSeen("samples are missing")];
        var gain = Gain(transfer, holds[^1].Drive);
        if (gain < LeastGain)
        {
            var why = FormattableString.Invariant($"the tube amplifies {gain:0.##} times at most, and at least {LeastGain:0} are needed");
            return [Noise.NotSeen(why), Hum.NotSeen(why), Microphony.NotSeen(why)];
        }
        var floor = Quietness.Of(quiet, holds[0].First, holds[0].End);
        var live = Quietness.Of(quiet, holds[^1].First, holds[^1].End);
        if (floor is null || live is null) return [Noise.NotSeen("samples are missing"), Hum.NotSeen("samples are missing"), Microphony.NotSeen("samples are missing")];
        return [NoiseOf(floor, live, gain), HumOf(live, gain), Tapped(s, live, gain)];
    }

    private static HealthItem NoiseOf(Quietness floor, Quietness live, double gain)
    {
        var excess = live.Residual * live.Residual - floor.Residual * floor.Residual;
        // Standard uncertainty of a variance of n samples: sqrt(2/n) of it.
        var u = Math.Sqrt(2.0 / live.Count * Math.Pow(live.Residual, 4) + 2.0 / floor.Count * Math.Pow(floor.Residual, 4));
        var rms = Math.Sqrt(Math.Max(0, excess));
        return Noise.Judge(rms / gain, (rms > 0 ? Math.Min(u / (2 * rms), Math.Sqrt(u)) : Math.Sqrt(u)) / gain);
    }

    private static HealthItem HumOf(Quietness live, double gain) => Hum.Judge(live.Amplitude / gain, live.AmplitudeUncertainty / gain, FormattableString.Invariant($"at {live.Hertz:0} Hz"));

    private static HealthItem Tapped(Screened s, Quietness live, double gain)
    {
        if (s.Of(ScreeningStepKind.Tapped) is not { } curve) return Microphony.NotSeen(s.Missing(ScreeningStepKind.Tapped));
        if (Quietness.Of(curve, 0, curve.Count) is not { } tapped) return Microphony.NotSeen("samples are missing");
        var loudest = tapped.LoudestWindow(WindowSeconds);
        var power = Math.Max(0, loudest * loudest - live.Residual * live.Residual);
        // The loudest of some hundred windows of some tens of samples lies above the mean by about a third for noise alone; that is its uncertainty.
        return Microphony.Judge(Math.Sqrt(2 * power) / gain, 0.3 * live.Residual / gain);
    }

    /// <summary>Size of the slope of output over drive near a drive, by a line through seven points.</summary>
    private static double Gain(Curve transfer, double drive)
    {
        var nearest = Enumerable.Range(0, transfer.Count).Where(i => !double.IsNaN(transfer.Drive[i])).DefaultIfEmpty(0).MinBy(i => Math.Abs(transfer.Drive[i] - drive));
        var points = Enumerable.Range(nearest - 3, 7).Where(i => i >= 0 && i < transfer.Count && !double.IsNaN(transfer.Plate[i])).ToArray();
        var fit = LinearFit.Of([.. points.Select(i => new[] { 1, transfer.Drive[i] - drive })], [.. points.Select(i => transfer.Plate[i])]);
        return fit is null ? 0 : Math.Abs(fit.Values[1]);
    }
}
