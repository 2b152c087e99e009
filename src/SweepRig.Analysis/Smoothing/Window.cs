namespace SweepRig.Analysis.Smoothing;

/// <summary>A stretch of a trace with the polynomial through it, from which quantities are read.</summary>
/// <param name="Fit">Least-squares polynomial.</param>
/// <param name="Noise">Standard deviation of a reading there.</param>
/// <param name="First">First point.</param>
/// <param name="Last">Last point.</param>
/// <param name="LimitedByGrid">True when even the narrowest window bends more than the polynomial can.</param>
internal sealed record Window(LocalPolynomial Fit, double Noise, int First, int Last, bool LimitedByGrid)
{
    /// <summary>
    /// A quantity that is some function of the polynomial, with its uncertainty: the function is evaluated one standard deviation to either side along each independent direction of
    /// the coefficients (JCGM 100:2008, 5.1.3, note 2). What both sides have in common is the bias that the noise gives to a bent function (5.1.2, note), and is taken off: a turning
    /// point of noisy readings lies too low by itself.
    /// </summary>
    /// <param name="read">NaN where the polynomial does not tell.</param>
    public Estimate Read(Func<LocalPolynomial, double> read)
    {
        var value = read(Fit);
        if (double.IsNaN(value)) return Estimate.None;
        double variance = 0, bias = 0;
        for (var k = 0; k <= Fit.Degree; k++)
        {
            double up = read(Fit.Moved(k, Noise)), down = read(Fit.Moved(k, -Noise));
            if (double.IsNaN(up) || double.IsNaN(down)) return Estimate.None;
            var bend = (up + down) / 2 - value;
            // First order, and the square of the second (5.1.2, note).
            variance += (up - down) * (up - down) / 4 + 2 * bend * bend;
            bias += bend;
        }
        var sigma = Math.Sqrt(variance);
        // More than that is no small correction, and worth no more than its uncertainty.
        return new(value - Math.Clamp(bias, -sigma, sigma), sigma, First, Last, LimitedByGrid);
    }
}
