namespace SweepRig.Analysis.Studies;

/// <summary>
/// Variance of a reading as a function of the slope of the curve there: v = a + b·s². The first is noise of the channel, the second what shakes the drive or the grid, hum above all.
/// </summary>
/// <param name="Channel">a, V².</param>
/// <param name="AlongDrive">b, V².</param>
internal readonly record struct ReadingVariance(double Channel, double AlongDrive)
{
    /// <summary>A tenth of what a step of 12 bits over 41 V leaves after averaging; below that nothing is believed.</summary>
    private const double LeastVolts = 0.1e-3;

    private const int Rounds = 12;

    public double At(double slope) => Channel + AlongDrive * slope * slope;

    /// <summary>Fits squared residuals by their likelihood as chi-squared numbers: least squares weighted with the variance of each, in rounds (McCullagh and Nelder, Generalized Linear Models, 1989, chapter 8; from memory).</summary>
    /// <param name="slopes">One a residual.</param>
    /// <param name="squares">Squares of residuals, each already divided by its share of degrees of freedom.</param>
    public static ReadingVariance Fit(IReadOnlyList<double> slopes, IReadOnlyList<double> squares)
    {
        var least = LeastVolts * LeastVolts;
        var found = new ReadingVariance(Math.Max(least, squares.Average()), 0);
        for (var round = 0; round < Rounds; round++)
        {
            double w0 = 0, w1 = 0, w2 = 0, y0 = 0, y1 = 0;
            for (var i = 0; i < squares.Count; i++)
            {
                var x = slopes[i] * slopes[i];
                var weight = 1 / Math.Pow(found.At(slopes[i]), 2);
                w0 += weight;
                w1 += weight * x;
                w2 += weight * x * x;
                y0 += weight * squares[i];
                y1 += weight * x * squares[i];
            }
            var determinant = w0 * w2 - w1 * w1;
            var along = determinant > 1e-12 * w0 * w2 ? Math.Max(0, (w0 * y1 - w1 * y0) / determinant) : 0;
            found = new(Math.Max(least, (y0 - along * w1) / w0), along);
        }
        return found;
    }
}
