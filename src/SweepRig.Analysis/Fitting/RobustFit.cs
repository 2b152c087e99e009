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

    // More than this part is no longer a few: then the model is wrong, or the data are, and no reading is blamed for it.
    private const double MostWild = 0.05;

    private const int MostRounds = 12;

    /// <summary>A plain fit; where it shows a few residuals far from the rest, one with falling weights to find out which, then a plain one without them.</summary>
    /// <param name="problem">Residuals in units of their standard uncertainty.</param>
    /// <param name="start">One value for each parameter.</param>
    /// <param name="options">Bounds and tolerances.</param>
    /// <param name="readings">How many residuals, from the first, may be wild; the rest, priors say, never are. All by default.</param>
    public static RobustFit Minimize(ILeastSquaresProblem problem, ReadOnlySpan<double> start, FitOptions? options = null, int readings = int.MaxValue)
    {
        ArgumentNullException.ThrowIfNull(problem);
        readings = Math.Min(readings, problem.ResidualCount);
        var plain = LeastSquares.Minimize(problem, start, options);
        if (!plain.IsConverged) return new(plain, [], double.NaN);
        var scale = Spread(plain.Residuals.AsSpan(0, readings));
        if (!HasWild(plain.Residuals.AsSpan(0, readings), scale)) return new(plain, [], scale);

        var point = plain.Parameters;
        var residuals = plain.Residuals;
        var factors = new double[residuals.Length];
        Array.Fill(factors, 1);
        for (var round = 0; round < MostRounds; round++)
        {
            for (var i = 0; i < readings; i++) factors[i] = Math.Sqrt(Math.Min(1, Knee * scale / Math.Abs(residuals[i])));
            var weighted = LeastSquares.Minimize(new WeightedProblem(problem, factors), point, options);
            if (!weighted.IsConverged) break;
            point = weighted.Parameters;
            residuals = At(problem, point);
            var before = scale;
            scale = Spread(residuals.AsSpan(0, readings));
            if (Math.Abs(scale - before) < 1e-4 * scale) break;
        }
        return WithoutWild(problem, point, residuals, scale, options, readings) ?? new(plain, [], Spread(plain.Residuals.AsSpan(0, readings)));
    }

    private static bool HasWild(ReadOnlySpan<double> residuals, double scale)
    {
        foreach (var residual in residuals)
            if (Math.Abs(residual) > WildBeyond * scale) return true;
        return false;
    }

    private static RobustFit? WithoutWild(ILeastSquaresProblem problem, double[] point, double[] residuals, double scale, FitOptions? options, int readings)
    {
        List<int> wild = [];
        for (var i = 0; i < readings; i++)
            if (Math.Abs(residuals[i]) > WildBeyond * scale) wild.Add(i);
        if (wild.Count > MostWild * readings) return null;
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
    private static double Spread(ReadOnlySpan<double> residuals)
    {
        var sizes = residuals.ToArray();
        for (var i = 0; i < sizes.Length; i++) sizes[i] = Math.Abs(sizes[i]);
        Array.Sort(sizes);
        return Math.Max(1.4826 * sizes[sizes.Length / 2], 1e-9);
    }
}
