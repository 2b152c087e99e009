using SweepRig.Analysis.Smoothing;

namespace SweepRig.Analysis.Levels;

/// <summary>The steepest fall of the output: drive, output and gain there, and where to set out from for the unity-gain points.</summary>
/// <param name="Left">Point at or left of the steepest fall; -1 when there is no fall.</param>
/// <param name="Right">Point at or right of it.</param>
/// <param name="Absent">Why there is no figure; null when there are figures.</param>
internal sealed record SwitchingPoint(int Left, int Right, Figure Drive, Figure Output, Figure Gain, string? Absent)
{
    /// <summary>A change of slope over a window smaller than this part of the slope is rounding.</summary>
    private const double LeastBend = 1e-6;

    public static SwitchingPoint Find(CurveReading reading)
    {
        var output = reading.Output;
        var trace = reading.Trace;
        var steepest = -1;
        for (var i = 0; i < trace.Count; i++)
        {
            var slope = output.Slope(i);
            if (slope.Exists && (steepest < 0 || slope.Value < output.Slope(steepest).Value)) steepest = i;
        }
        if (steepest < 0) return None(-1, -1, "no stretch of the curve has enough points for a slope");
        var fall = output.Slope(steepest);
        for (var i = 1; i < trace.Count; i++)
        {
            // By the mean value theorem a chord steeper than any slope found proves a steeper place between its ends.
            if (trace.GapBefore(i) && trace.X[i] > trace.X[i - 1] &&
                (trace.Y[i] - trace.Y[i - 1]) / (trace.X[i] - trace.X[i - 1]) < fall.Value - 2 * fall.Sigma)
                return None(i - 1, i, CurveReading.InGap(trace, i));
        }
        if (fall.Value > -3 * fall.Sigma) return None(-1, -1, "the output does not fall with rising drive by more than the noise");
        return Refine(reading, steepest);
    }

    private static SwitchingPoint Refine(CurveReading reading, int steepest)
    {
        var trace = reading.Trace;
        var output = reading.Output;
        if (steepest <= 1 || steepest >= trace.Count - 2) return AtTheEnd(reading, steepest);
        var noise = output.NoiseAt(steepest);
        // The second derivative passes zero upwards where the fall is steepest.
        var drive = output.At(steepest, trace.X[steepest], 3, (fit, centre) =>
            fit.Where(2, 0, +1, noise, LeastBend * Math.Abs(fit.Derivative(1, centre).Value) / (fit.Scale * fit.Scale)));
        string? mark = null;
        var (first, last) = AsSteep(output, steepest);
        if (!drive.Exists || drive.Sigma > trace.X[last] - trace.X[first])
        {
            // No bend to be seen: anywhere in the straight part is as good. Rectangular, GUM 4.3.7.
            drive = new((trace.X[first] + trace.X[last]) / 2, (trace.X[last] - trace.X[first]) / Math.Sqrt(12), first, last);
            mark = $"the slope is the same within the noise from {CurveReading.Volts(trace.X[first])} to {CurveReading.Volts(trace.X[last])}";
        }
        var at = Nearest(trace, drive.Value);
        var gain = output.SlopeAt(at, drive.Value);
        var value = output.ValueAt(at, drive.Value);
        if (!gain.Exists) gain = output.Slope(steepest);
        if (mark is null && drive.LimitedByGrid) (drive, gain) = WithGridDoubt(trace, at, drive, gain);
        if (!value.Exists) value = output.Value(at);
        return new(
            at, at,
            reading.Drive(drive, mark),
            reading.OutputNear(at, value with { Sigma = Smoother.Hypot(value.Sigma, gain.Value * drive.Sigma) }, mark),
            reading.Gain(gain, mark),
            null);
    }

    /// <summary>
    /// The steepest place lies within a step of where it seems, and the slope turns by as much over half a step as the cubic through five points says:
    /// both rectangular, GUM 4.3.7.
    /// </summary>
    private static (Estimate Drive, Estimate Gain) WithGridDoubt(Trace trace, int at, Estimate drive, Estimate gain)
    {
        var (first, last) = trace.Segment(at);
        var (left, right) = (Math.Max(first, Math.Min(at - 2, last - 4)), Math.Min(last, Math.Max(at + 2, first + 4)));
        var step = (trace.X[right] - trace.X[left]) / (right - left);
        var turn = LocalPolynomial.Fit(trace, left, right, trace.X[at], 3)?.Derivative(3, trace.X[at]).Value ?? 0;
        return (
            drive with { Sigma = Smoother.Hypot(drive.Sigma, step / Math.Sqrt(12)) },
            gain with { Sigma = Smoother.Hypot(gain.Sigma, turn * step * step / 8 / Math.Sqrt(3)) });
    }

    private static SwitchingPoint AtTheEnd(CurveReading reading, int steepest)
    {
        var trace = reading.Trace;
        var output = reading.Output;
        var end = steepest <= 1 ? "lowest" : "highest";
        var mark = $"the fall is steepest at the {end} drive measured; it may be steeper beyond";
        var neighbour = steepest == 0 ? 1 : steepest - 1;
        var step = Math.Abs(trace.X[steepest] - trace.X[neighbour]) / Math.Sqrt(12);
        return new(
            steepest, steepest,
            reading.Drive(new(trace.X[steepest], step, steepest, steepest), mark),
            reading.OutputNear(steepest, output.Value(steepest), mark),
            reading.Gain(output.Slope(steepest), mark),
            null);
    }

    /// <summary>The stretch around a point whose slopes cannot be told from its own.</summary>
    private static (int First, int Last) AsSteep(Smoother output, int steepest)
    {
        var (segmentFirst, segmentLast) = output.Trace.Segment(steepest);
        var least = output.Slope(steepest);
        bool Same(int i)
        {
            var slope = output.Slope(i);
            return slope.Exists && slope.Value - least.Value <= 2 * Smoother.Hypot(slope.Sigma, least.Sigma) + LeastBend * Math.Abs(least.Value);
        }
        var first = steepest;
        while (first > segmentFirst && Same(first - 1)) first--;
        var last = steepest;
        while (last < segmentLast && Same(last + 1)) last++;
        // A stretch of one point is known no better than the steps beside it.
        return first == last ? (Math.Max(segmentFirst, first - 1), Math.Min(segmentLast, last + 1)) : (first, last);
    }

    private static int Nearest(Trace trace, double drive)
    {
        var found = Array.BinarySearch(trace.X, drive);
        if (found >= 0) return found;
        var above = ~found;
        if (above == 0) return 0;
        if (above == trace.Count) return trace.Count - 1;
        return trace.X[above] - drive < drive - trace.X[above - 1] ? above : above - 1;
    }

    private static SwitchingPoint None(int left, int right, string because) =>
        new(left, right, Figure.None("V", because), Figure.None("V", because), Figure.None("1", because), because);
}
