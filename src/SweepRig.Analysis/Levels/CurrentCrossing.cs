using SweepRig.Analysis.Smoothing;
using SweepRig.Domain.Quantities;

namespace SweepRig.Analysis.Levels;

/// <summary>The drive at which a current, followed down from its largest value, reaches a stated one.</summary>
internal static class CurrentCrossing
{
    /// <param name="reading">The curve, for figures.</param>
    /// <param name="current">The current, smoothed.</param>
    /// <param name="zero">What the rig shows at a drive when no current flows.</param>
    /// <param name="zeroSigma">Standard uncertainty of that, A.</param>
    /// <param name="threshold">The stated current, A.</param>
    /// <param name="name">Of the current, for people.</param>
    /// <param name="mark">For the figure; null for none.</param>
    public static Figure Find(
        CurveReading reading, Smoother current, Func<double, double> zero, double zeroSigma, double threshold, string name, string? mark)
    {
        var trace = current.Trace;
        if (trace.Count == 0) return Figure.None("V", $"the {name} was not measured");
        double At(int i) => Near(current, i, threshold).Value - zero(trace.X[i]);
        var largest = 0;
        for (var i = 1; i < trace.Count; i++)
        {
            if (trace.Y[i] > trace.Y[largest]) largest = i;
        }
        if (At(largest) < threshold)
            return Figure.None("V", $"the {name} stays below {Amps(threshold)} up to {CurveReading.Volts(trace.X[^1])} of drive");
        for (var i = largest - 1; i >= 0; i--)
        {
            // Smoothing is for readings that are near.
            if (trace.Y[i] - zero(trace.X[i]) > threshold + 6 * current.NoiseAt(i) || At(i) > threshold) continue;
            if (trace.GapBefore(i + 1)) return Figure.None("V", CurveReading.InGap(trace, i + 1));
            return reading.Drive(Interpolate(current, i, At(i), At(i + 1), zeroSigma, threshold), mark);
        }
        return Figure.None("V", $"the {name} is still {Amps(At(0))} at the lowest drive, {CurveReading.Volts(trace.X[0])}; {Amps(threshold)} was asked for");
    }

    /// <summary>Smoothed, unless the reading is quiet enough by itself: a window would round off the bend that is looked for.</summary>
    private static Estimate Near(Smoother current, int i, double threshold) =>
        current.TypicalNoise <= threshold / 20 ? new(current.Trace.Y[i], current.TypicalNoise, i, i) : current.Value(i);

    private static Estimate Interpolate(Smoother current, int below, double low, double high, double zeroSigma, double threshold)
    {
        var x = current.Trace.X;
        Estimate left = Near(current, below, threshold), right = Near(current, below + 1, threshold);
        var step = x[below + 1] - x[below];
        var sigma = Smoother.Hypot(Math.Max(left.Sigma, right.Sigma), zeroSigma);
        var straight = step * (threshold - low) / (high - low);
        var part = straight;
        var doubt = 0.0;
        if (high > 1.5 * low)
        {
            // Near cut-off a current rises faster than a line and not faster than by a factor with each step; out of nothing, later than a line at any
            // rate. The crossing lies between the two: rectangular, GUM 4.3.7.
            var latest = low > 3 * sigma ? step * Math.Log(threshold / low) / Math.Log(high / low) : step;
            part = (straight + latest) / 2;
            doubt = (latest - straight) / Math.Sqrt(12);
        }
        return new(x[below] + part, Smoother.Hypot(sigma * step / (high - low), doubt), below, below + 1);
    }

    private static string Amps(double amps) => Engineering.Format(amps, "A", 3);
}
