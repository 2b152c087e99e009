namespace SweepRig.Analysis.Fitting;

/// <summary>The best of fits from several starts, and how far they agree.</summary>
/// <param name="Best">Smallest sum of squares among those that converged; the smallest of all when none did.</param>
/// <param name="Starts">Starts tried.</param>
/// <param name="Agreeing">How many converged to the same sum of squares as the best, the best included; 0 when none converged.</param>
public sealed record MultiStart(Fit Best, int Starts, int Agreeing)
{
    // Sums of squares that differ by less than this part are the same minimum.
    private const double Same = 1e-6;

    /// <param name="problem">Residuals and derivatives.</param>
    /// <param name="starts">At least one.</param>
    /// <param name="options">Bounds and tolerances.</param>
    /// <param name="enough">Ends early when so many starts agree; 1 takes the first that converges.</param>
    /// <exception cref="ArgumentException">No start.</exception>
    public static MultiStart Minimize(ILeastSquaresProblem problem, IEnumerable<double[]> starts, FitOptions? options = null, int enough = int.MaxValue)
    {
        ArgumentNullException.ThrowIfNull(starts);
        List<Fit> fits = [];
        Fit? best = null;
        foreach (var start in starts)
        {
            var fit = LeastSquares.Minimize(problem, start, options);
            fits.Add(fit);
            if (best is null || IsBetter(fit, best)) best = fit;
            if (Agreement(fits, best) >= enough) break;
        }
        if (best is null) throw new ArgumentException("There is no start; give at least one.", nameof(starts));
        return new(best, fits.Count, Agreement(fits, best));
    }

    private static int Agreement(List<Fit> fits, Fit best) =>
        best.IsConverged ? fits.Count(f => f.IsConverged && f.SumOfSquares <= best.SumOfSquares * (1 + Same) + 1e-12) : 0;

    private static bool IsBetter(Fit fit, Fit than) => fit.IsConverged != than.IsConverged
        ? fit.IsConverged
        : fit.SumOfSquares < than.SumOfSquares || (double.IsNaN(than.SumOfSquares) && !double.IsNaN(fit.SumOfSquares));
}
