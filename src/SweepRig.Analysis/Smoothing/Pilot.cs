namespace SweepRig.Analysis.Smoothing;

/// <summary>
/// First look at a trace: value and slope at every point through windows of one width, to find where the quantities lie. Nothing is read off it. The width is the
/// narrowest at which the noise of the slope is a small part of the steepest one.
/// </summary>
internal sealed class Pilot
{
    private const double NoiseOfSteepest = 0.03;

    private static readonly int[] Halves = [3, 5, 8, 12, 18, 27, 40];

    private Pilot(double[] values, double[] slopes, double[] sigmas) => (Values, Slopes, Sigmas) = (values, slopes, sigmas);

    public double[] Values { get; }

    /// <summary>NaN where too few neighbours remain.</summary>
    public double[] Slopes { get; }

    /// <summary>Standard deviation of each slope.</summary>
    public double[] Sigmas { get; }

    public static Pilot Of(Smoother smoother)
    {
        var trace = smoother.Trace;
        Pilot? pilot = null;
        foreach (var half in Halves)
        {
            if (pilot is not null && 2 * half > trace.Count / 6) break;
            pilot = With(smoother, half);
            var steepest = 0.0;
            var noise = 0.0;
            for (var i = 0; i < trace.Count; i++)
            {
                if (!(Math.Abs(pilot.Slopes[i]) > steepest)) continue;
                steepest = Math.Abs(pilot.Slopes[i]);
                noise = pilot.Sigmas[i];
            }
            if (noise <= NoiseOfSteepest * steepest) break;
        }
        return pilot!;
    }

    private static Pilot With(Smoother smoother, int half)
    {
        var trace = smoother.Trace;
        double[] values = (double[])trace.Y.Clone(), slopes = new double[trace.Count], sigmas = new double[trace.Count];
        for (var i = 0; i < trace.Count; i++)
        {
            slopes[i] = double.NaN;
            var (first, last) = trace.Segment(i);
            // Drives that repeat hold nothing of a slope: the window grows until it has some.
            for (var h = half; h <= 4 * half && double.IsNaN(slopes[i]); h *= 2)
            {
                var from = Math.Max(first, Math.Min(i - h, last - 2 * h));
                var to = Math.Min(last, Math.Max(i + h, first + 2 * h));
                if (LocalPolynomial.Fit(trace, from, to, trace.X[i], 2) is not { } fit) continue;
                var (slope, variance) = fit.Derivative(1, trace.X[i]);
                (values[i], slopes[i], sigmas[i]) = (fit.At(0, trace.X[i]), slope, smoother.NoiseAt(i) * Math.Sqrt(variance));
            }
        }
        return new(values, slopes, sigmas);
    }
}
