using SweepRig.Domain.Runs;
using SweepRig.Domain.Screening;

namespace SweepRig.Analysis.Health;

/// <summary>How long the tube needs to warm, and what its current does in the minutes after.</summary>
internal static class Warming
{
    /// <summary>From the switching of heater and rail to the first sample: two statuses of the rig, 100 ms apart, are waited for. Rectangular, 0.1 to 0.2 s and the sending of the program.</summary>
    private const double LeadSeconds = 0.18, LeadUncertainty = 0.06;

    private const double BlockSeconds = 5;

    internal static readonly HealthTopic Time = new(
        "warm-up", "warm-up to 80 %", "s", 19, 23,
        "From switching the heater on from cold to 0.8 of the current at rest, at 0 V drive.",
        "cathode heating time, to 80 % of the final current (IEC 60151-8, title from memory); limits: common practice, no source",
        "a cathode that warms slowly", "the warm-up time in a series string, which is another figure; a tube that was not cold at the start reads short");

    internal static readonly HealthTopic Drift = new(
        "drift", "change of the current in the first minutes", "%", 0.8, 1.5,
        "Largest less smallest mean over 5 s of the current at 0 V drive, after the warm-up step, over their mean.", "common practice, no source; limits illustrative",
        "a tube that wanders, or has not come to rest", "drift over hours and days, which only a sweep on another day shows");

    public static IEnumerable<HealthItem> Items(Screened s)
    {
        yield return ToEighty(s);
        yield return Wandering(s);
    }

    private static HealthItem ToEighty(Screened s)
    {
        if (s.Of(ScreeningStepKind.WarmUp) is not { } curve || Emission.Final(s) is not { } final) return Time.NotSeen(s.Missing(ScreeningStepKind.WarmUp));
        if (final.Value < 50e-6) return Time.NotSeen("hardly any current flows");
        var wanted = 0.8 * final.Value;
        const int half = 3;
        for (var i = half; i < curve.Count - half; i++)
        {
            if (!(s.CathodeCurrent(curve, i - half, i + half + 1).Value >= wanted)) continue;
            var seconds = Screened.Seconds(curve, i) + LeadSeconds;
            if (i == half) return Time.NotSeen("the tube was warm already when the screening began; let it cool for some minutes");
            var step = Screened.Seconds(curve, i) - Screened.Seconds(curve, i - 1);
            return Time.Judge(seconds, Math.Sqrt(LeadUncertainty * LeadUncertainty + step * step / 3));
        }
        var watched = Screened.Seconds(curve, curve.Count - 1);
        return Time.Item(
            Figure.None("s", FormattableString.Invariant($"not reached within {watched:0} s")), HealthVerdict.Bad, FormattableString.Invariant($"warm-up to 80 %: not reached within {watched:0} s"));
    }

    private static HealthItem Wandering(Screened s)
    {
        if (s.Of(ScreeningStepKind.FirstMinutes) is not { } curve) return Drift.NotSeen(s.Missing(ScreeningStepKind.FirstMinutes));
        var blocks = Blocks(s, curve);
        if (blocks.Count < 4 || !(blocks.Average(b => b.Value) > 50e-6)) return Drift.NotSeen("hardly any current flows, or it was watched for less than 20 s");
        var mean = blocks.Average(b => b.Value);
        // The largest of so many means lies above the true one by noise alone: about two of their standard uncertainties either way (common practice for a range of 20 to 40).
        var noise = blocks.Average(b => b.Uncertainty);
        var range = Math.Max(0, blocks.Max(b => b.Value) - blocks.Min(b => b.Value) - 4 * noise);
        return Drift.Judge(100 * range / mean, 100 * noise / mean);
    }

    private static List<Mean> Blocks(Screened s, Curve curve)
    {
        List<Mean> blocks = [];
        var first = 0;
        for (var i = 1; i < curve.Count; i++)
        {
            if (curve.SampledAtTicks[i] == 0 || curve.SampledAtTicks[first] == 0 || (curve.SampledAtTicks[i] - curve.SampledAtTicks[first]) * 1e-6 < BlockSeconds) continue;
            blocks.Add(s.CathodeCurrent(curve, first, i));
            first = i;
        }
        return [.. blocks.Where(b => b.Samples > 1)];
    }
}
