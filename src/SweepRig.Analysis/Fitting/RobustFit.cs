namespace SweepRig.Analysis.Fitting;

/// <summary>A fit that a few wild residuals could not draw away.</summary>
/// <param name="Fit">To the residuals that are not wild; the wild ones count as 0 in it and are not in its freedom.</param>
/// <param name="Wild">Residuals left out, in their order.</param>
/// <param name="Scale">Spread of the others as the median of their size shows it: near 1 when their stated uncertainties are right.</param>
public sealed record RobustFit(Fit Fit, IReadOnlyList<int> Wild, double Scale)
{
    /// <summary>A residual beyond this many spreads is wild: of a thousand honest normal readings, one in half a million fits has one.</summary>
    public const double WildBeyond = 6;

    // Where weights begin to fall: Huber's figure for 95 % efficiency on normal residuals (Huber 1981, Robust Statistics; from memory).
    private const double Knee = 1.345;

    private const int MostRounds = 12;

    /// <summary>A plain fit; where it shows residuals far from the rest, one with falling weights to find out which, then a plain one without them.</summary>
    /// <param name="problem">Residuals in units of their standard uncertainty.</param>
    /// <param name="start">One value for each parameter.</param>
    /// <param name="options">Bounds and tolerances.</param>
    public static RobustFit Minimize(ILeastSquaresProblem problem, ReadOnlySpan<double> start, FitOptions? options = null)
    {
        var plain = LeastSquares.Minimize(problem, start, options);
        if (!plain.IsConverged) return new(plain, [], double.NaN);
        var scale = Spread(plain.Residuals);
        if (!Array.Exists(plain.Residuals, r => Math.Abs(r) > WildBeyond * scale)) return new(plain, [], scale);

        var point = plain.Parameters;
        var residuals = plain.Residuals;
        var factors = new double[residuals.Length];
        for (var round = 0; round < MostRounds; round++)
        {
            for (var i = 0; i < factors.Length; i++) factors[i] = Math.Sqrt(Math.Min(1, Knee * scale / Math.Abs(residuals[i])));
            var weighted = LeastSquares.Minimize(new WeightedProblem(problem, factors), point, options);
            if (!weighted.IsConverged) break;
            point = weighted.Parameters;
            residuals = At(problem, point);
            var before = scale;
            scale = Spread(residuals);
            if (Math.Abs(scale - before) < 1e-4 * scale) break;
        }
        return WithoutWild(problem, point, residuals, scale, options);
    }

    private static RobustFit WithoutWild(ILeastSquaresProblem problem, double[] point, double[] residuals, double scale, FitOptions? options)
    {
        List<int> wild = [];
        for (var i = 0; i < residuals.Length; i++)
            if (Math.Abs(residuals[i]) > WildBeyond * scale) wild.Add(i);
        var factors = new double[residuals.Length];
        Array.Fill(factors, 1);
        foreach (var i in wild) factors[i] = 0;
        var fit = LeastSquares.Minimize(new WeightedProblem(problem, factors), point, options);
        return new(fit with { Freedom = fit.Freedom - wild.Count }, wild, scale);
    }

    private static double[] At(ILeastSquaresProblem problem, double[] point)
    {
        var residuals = new double[problem.ResidualCount];
        problem.Evaluate(point, residuals, []);
        return residuals;
    }

    // 1.4826 times the median size is the standard deviation of normal residuals. Residuals of an exact model have no spread; rounding is let pass.
    private static double Spread(double[] residuals)
    {
        var sizes = Array.ConvertAll(residuals, Math.Abs);
        Array.Sort(sizes);
        return Math.Max(1.4826 * sizes[sizes.Length / 2], 1e-9);
    }
}
