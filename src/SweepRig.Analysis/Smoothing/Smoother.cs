namespace SweepRig.Analysis.Smoothing;

/// <summary>
/// Reads values, slopes and turning points off a noisy trace through local polynomials. The choice of bandwidth, stated: around a point the window grows in steps of about a third as
/// long as the two highest terms of the polynomial do not stand out of the noise and the residuals stay those of noise; of the widest such window the middle nine tenths are used, and all
/// terms kept. What the fitted terms leave out is then small against the scatter. Both tests ask for much, 99.99 %: a curve has many windows, and with a loose test one would stop early by
/// luck and be read at its luckiest. Where even the narrowest window bends too much, two more terms are tried. On an even grid these are the filters of Savitzky and Golay, Anal. Chem. 36
/// (1964) 1627; choosing the window by its residuals is in Fan and Gijbels, Local Polynomial Modelling (1996), ch. 4 (from memory). Windows never span a gap.
/// </summary>
internal sealed class Smoother
{
    public const int Degree = 5;

    public const int HighestDegree = 7;

    /// <summary>99.99 % point of chi-square with two degrees of freedom.</summary>
    private const double TermsStandOut = 18.42;

    /// <summary>99.99 % point of the normal distribution.</summary>
    private const double QuantileOfNormal = 3.719;

    private const double Used = 0.9;

    private const int WidestHalf = 400;

    private readonly double[] _noise;
    private readonly Dictionary<(int Near, int Degree), Window?> _windows = [];

    public Smoother(Trace trace)
    {
        Trace = trace;
        (_noise, TypicalNoise) = Noise.Of(trace);
    }

    public Trace Trace { get; }

    /// <summary>Standard deviation of most readings; that of one stretch may be mistaken for more where the curve bends within a few steps.</summary>
    public double TypicalNoise { get; }

    /// <summary>Standard deviation of a reading as seen; what averaging makes smaller.</summary>
    public double NoiseAt(int i) => _noise[i];

    /// <summary>Smoothed value at a point; the reading itself where too few neighbours remain.</summary>
    public Estimate Value(int i) => Value(i, Trace.X[i]);

    /// <summary>Smoothed value at a drive beside a point.</summary>
    public Estimate Value(int near, double drive) =>
        At(near, AtEdge(near) ? 3 : Degree)?.Read(fit => fit.At(0, drive)) is { Exists: true } value ? value : new(Trace.Y[near], _noise[near], near, near);

    /// <summary>Slope at a point; none where too few neighbours remain.</summary>
    public Estimate Slope(int i)
    {
        var x = Trace.X[i];
        return At(i)?.Read(fit => fit.At(1, x)) ?? Estimate.None;
    }

    /// <summary>The window around a point; null where too few different drives lie in its stretch.</summary>
    /// <param name="near">Point that the windows are grown around.</param>
    /// <param name="degree">Of the polynomial, the two terms for the choice of the window included.</param>
    public Window? At(int near, int degree = Degree)
    {
        if (_windows.TryGetValue((near, degree), out var known)) return known;
        return _windows[(near, degree)] = Choose(near, degree) ?? (degree > 1 ? At(near, degree - 2) : null);
    }

    public static double Hypot(double a, double b) => Math.Sqrt(a * a + b * b);

    /// <summary>Rounding of the arithmetic is noise too.</summary>
    private double NoiseOfReading(int i) => Math.Max(_noise[i], 1e-9 * Math.Abs(Trace.Y[i]) + 1e-150);

    private bool AtEdge(int i)
    {
        var (first, last) = Trace.Segment(i);
        return i == first || i == last;
    }

    private Window? Choose(int near, int degree)
    {
        var (first, last) = Trace.Segment(near);
        // One free reading at least, so that the polynomial does not follow each reading.
        var narrowest = (degree + 2) / 2;
        var widest = Math.Min(WidestHalf, (last - first + 1) / 2);
        var variance = NoiseOfReading(near) * NoiseOfReading(near);
        Window? narrow = null;
        var accepted = 0;
        for (var half = narrowest; half <= widest; half += Math.Max(1, half / 3))
        {
            if (FitAround(near, half, degree) is not { Fit.FreeReadings: > 0 } window) continue;
            narrow ??= window;
            if (!IsNoise(window.Fit, variance) || !TermsAreNoise(window.Fit, variance)) break;
            accepted = half;
        }
        if (accepted == 0)
        {
            // A bend within a few steps: two terms more may follow it. Else the steps limit what can be known.
            if (degree == Degree && Choose(near, HighestDegree) is { LimitedByGrid: false } higher) return higher;
            return narrow is null ? null : narrow with { LimitedByGrid = true };
        }
        var used = Math.Max(narrowest, (int)(Used * accepted));
        return FitAround(near, used, degree) is { Fit.FreeReadings: > 0 } chosen ? chosen : FitAround(near, accepted, degree);
    }

    private Window? FitAround(int near, int half, int degree)
    {
        var (segmentFirst, segmentLast) = Trace.Segment(near);
        // At the end of a stretch the window slides inwards and keeps its size.
        var first = Math.Max(segmentFirst, Math.Min(near - half, segmentLast - 2 * half));
        var last = Math.Min(segmentLast, Math.Max(near + half, segmentFirst + 2 * half));
        return LocalPolynomial.Fit(Trace, first, last, Trace.X[near], degree) is { } fit ? new(fit, NoiseOfReading(near), first, last, false) : null;
    }

    /// <summary>Residuals within the 99.99 % point of chi-square (Wilson and Hilferty 1931).</summary>
    private static bool IsNoise(LocalPolynomial fit, double variance)
    {
        double free = fit.FreeReadings, spread = 2 / (9 * free);
        return fit.ResidualSquares <= variance * free * Math.Pow(1 - spread + QuantileOfNormal * Math.Sqrt(spread), 3);
    }

    private static bool TermsAreNoise(LocalPolynomial fit, double variance) => fit.Degree < 2 || fit.HighestTerms(variance) <= TermsStandOut;
}
