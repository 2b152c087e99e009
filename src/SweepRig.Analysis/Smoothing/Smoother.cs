namespace SweepRig.Analysis.Smoothing;

/// <summary>
/// Reads values, slopes and turning points off a noisy trace with a window that is as wide as the noise asks and the shape allows. The window grows as long
/// as the residuals stay those of noise and the estimate stays within the intervals of all narrower windows (intersection of confidence intervals:
/// Goldenshluger and Nemirovski 1997, from memory). A window so chosen has a bias like its noise; the estimate is therefore read off a polynomial two
/// degrees higher through the same window, with the variance of that (robust bias correction: Calonico, Cattaneo and Titiunik 2014, from memory).
/// Windows never span a gap.
/// </summary>
internal sealed class Smoother
{
    /// <summary>Half-width of the intervals that must meet, in standard uncertainties.</summary>
    private const double Agreement = 2.5;

    /// <summary>Residual variance over noise variance that still counts as noise: 1 plus so many standard deviations of chi-square.</summary>
    private const double LackOfFit = 2.5;

    private const int WidestHalf = 400;

    private static readonly Func<LocalPolynomial, double, (double, double)?> ReadValue = static (fit, centre) => fit.Derivative(0, centre);
    private static readonly Func<LocalPolynomial, double, (double, double)?> ReadSlope = static (fit, centre) => fit.Derivative(1, centre);

    private readonly Trace _trace;
    private readonly double[] _noise, _scatter;
    private readonly Estimate?[] _values, _slopes;

    public Smoother(Trace trace)
    {
        _trace = trace;
        (_noise, _scatter, TypicalNoise) = Noise.Of(trace);
        _values = new Estimate?[trace.Count];
        _slopes = new Estimate?[trace.Count];
    }

    public Trace Trace => _trace;

    /// <summary>Standard deviation of most readings; that of one stretch may be mistaken for more where the curve bends within a few steps.</summary>
    public double TypicalNoise { get; }

    /// <summary>Standard deviation of a reading, at least that of its resolution.</summary>
    public double NoiseAt(int i) => _noise[i];

    /// <summary>Standard deviation of a reading as seen; what averaging makes smaller.</summary>
    public double ScatterAt(int i) => _scatter[i];

    /// <summary>Smoothed value at a point; the reading itself where too few neighbours remain.</summary>
    public Estimate Value(int i) => _values[i] ??= ValueAt(i, _trace.X[i]) is { Exists: true } value ? value : new(_trace.Y[i], _noise[i], i, i);

    /// <summary>Slope at a point; none where too few neighbours remain.</summary>
    public Estimate Slope(int i) => _slopes[i] ??= SlopeAt(i, _trace.X[i]);

    public Estimate ValueAt(int near, double drive) => At(near, drive, 2, ReadValue);

    public Estimate SlopeAt(int near, double drive) => At(near, drive, 2, ReadSlope);

    /// <param name="near">Point that the windows are grown around.</param>
    /// <param name="centre">Drive at which the polynomial is centred, near that point.</param>
    /// <param name="degree">Of the polynomial that chooses the window, 0 to 3.</param>
    /// <param name="read">What is wanted of a fit, with its variance for unit noise; null when this fit does not tell.</param>
    public Estimate At(int near, double centre, int degree, Func<LocalPolynomial, double, (double Value, double Variance)?> read)
    {
        var (segmentFirst, segmentLast) = _trace.Segment(near);
        var narrowest = Math.Max(1, (degree + 1) / 2);
        var widest = Math.Max(narrowest, Math.Min(WidestHalf, (segmentLast - segmentFirst + 1) / 2));
        var variance = _noise[near] * _noise[near];
        var best = Estimate.None;
        var accepted = 0;
        var doubt = 0.0;
        double low = double.NegativeInfinity, high = double.PositiveInfinity;
        for (var half = narrowest; half <= widest; half += Math.Max(1, half / 2))
        {
            // At the end of a stretch the window slides inwards and keeps its size.
            var first = Math.Max(segmentFirst, Math.Min(near - half, segmentLast - 2 * half));
            var last = Math.Min(segmentLast, Math.Max(near + half, segmentFirst + 2 * half));
            if (LocalPolynomial.Fit(_trace, first, last, centre, degree) is not { } fit) continue;
            if (!IsNoise(fit, variance) && accepted > 0)
            {
                // The narrowest window was already too wide for this bend: what the next one says differently is doubt, not noise.
                if (accepted == 1 && read(fit, centre) is { } wider) doubt = (wider.Value - best.Value) / Math.Sqrt(12);
                break;
            }
            if (read(fit, centre) is not { } answer)
            {
                if (!IsNoise(fit, variance)) break;
                continue;
            }
            var sigma = Math.Sqrt(answer.Variance * Math.Max(variance, fit.FreeReadings > 0 && !IsNoise(fit, variance) ? fit.ResidualSquares / fit.FreeReadings : 0));
            if (accepted == 1 && best.Last - best.First <= degree)
            {
                // A window without free readings only stands in where no wider one fits; its luck must not stop the wider ones.
                (accepted, low, high) = (0, double.NegativeInfinity, double.PositiveInfinity);
            }
            if (answer.Value - Agreement * sigma > high || answer.Value + Agreement * sigma < low) break;
            best = new(answer.Value, sigma, first, last);
            low = Math.Max(low, answer.Value - Agreement * sigma);
            high = Math.Min(high, answer.Value + Agreement * sigma);
            accepted++;
        }
        return best.Exists ? WithoutBias(best with { Sigma = Hypot(best.Sigma, doubt) }, centre, degree, variance, read) : best;
    }

    public static double Hypot(double a, double b) => Math.Sqrt(a * a + b * b);

    private Estimate WithoutBias(
        Estimate chosen, double centre, int degree, double variance, Func<LocalPolynomial, double, (double Value, double Variance)?> read)
    {
        if (degree == 0) return chosen;
        // In the middle of a window the odd terms fall out, so that one degree more changes nothing; at its edge one more is enough.
        double left = centre - _trace.X[chosen.First], right = _trace.X[chosen.Last] - centre;
        var more = Math.Min(left, right) > 0.5 * Math.Max(left, right) ? 2 : 1;
        if (LocalPolynomial.Fit(_trace, chosen.First, chosen.Last, centre, degree + more) is not { } fit || read(fit, centre) is not { } answer) return chosen;
        return chosen with
        {
            Value = answer.Value,
            Sigma = Hypot(Math.Sqrt(answer.Variance * variance), (answer.Value - chosen.Value) / Math.Sqrt(12)),
            BiasRemoved = true,
        };
    }

    private static bool IsNoise(LocalPolynomial fit, double variance) =>
        fit.FreeReadings <= 0 || fit.ResidualSquares <= variance * fit.FreeReadings * (1 + LackOfFit * Math.Sqrt(2.0 / fit.FreeReadings));
}
