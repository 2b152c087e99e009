namespace SweepRig.Analysis.Fitting;

/// <summary>Nonlinear least squares with bounds: makes the sum of squared residuals as small as it can from one start.</summary>
/// <remarks>
/// <para>Levenberg-Marquardt in the form of a trust region with scaled variables (More 1978, Lecture Notes in Mathematics 630, 105; from memory). The Jacobian is
/// reduced to a triangle by reflections and that to singular values, so that the step of any length comes from a secular equation of a few terms and open
/// directions are seen. A step that would cross a bound is found anew between the bounds, so that what it promises is true there too.</para>
/// <para>Pure: the same problem and start give the same fit.</para>
/// </remarks>
public static class LeastSquares
{
    // A step is taken when it brings this part of the reduction that the linear model promised (More's figure).
    private const double LeastRatio = 1e-4;

    // Sums of squares of rounded residuals cannot tell steps that promise less than this part; there the search ends.
    private const double Rounding = 4e-16;

    // Where no step helps any more, a promise below this part is put down to rounding of the model and counts as converged: of a thousand readings in units of
    // their scatter it is a thousandth of what one standard uncertainty of a parameter changes.
    private const double RoundedModel = 1e-6;

    // The same for data that the model meets to the last digit: the whole step left is below this part of the point.
    private const double RoundedStep = 1e-9;

    /// <param name="problem">Residuals and derivatives.</param>
    /// <param name="start">One value for each parameter; moved into the bounds.</param>
    /// <param name="options">Bounds and tolerances.</param>
    /// <exception cref="ArgumentException">Lengths differ, or a lowest value is above the highest.</exception>
    public static Fit Minimize(ILeastSquaresProblem problem, ReadOnlySpan<double> start, FitOptions? options = null)
    {
        ArgumentNullException.ThrowIfNull(problem);
        options ??= new();
        var bounds = new Bounds(options, problem.ParameterCount);
        if (start.Length != problem.ParameterCount)
            throw new ArgumentException($"The start has {start.Length} values for {problem.ParameterCount} parameters; give one for each.", nameof(start));
        var point = start.ToArray();
        bounds.Clamp(point);
        var search = new TrustRegionSearch(problem, bounds, point, options);
        if (problem.ResidualCount < problem.ParameterCount) return search.End(FitStatus.TooFewPoints);
        if (!search.Linearize()) return search.End(FitStatus.NoValueAtStart);
        var radius = search.FirstRadius();
        while (true)
        {
            // Inside: shorter and shorter steps from one point; outside: a new point with new derivatives.
            var whole = search.Propose(double.PositiveInfinity);
            var wholePromise = whole.Promised / search.Sum;
            if (search.Sum == 0 || wholePromise <= Rounding) return search.End(FitStatus.Converged);
            double ratio;
            do
            {
                var step = search.Propose(radius);
                var promised = step.Promised / search.Sum;
                if (promised <= Rounding || radius <= 1e-15 * search.ScaledLength)
                {
                    var rounding = wholePromise <= RoundedModel || whole.ScaledLength <= RoundedStep * search.ScaledLength;
                    return search.End(rounding ? FitStatus.Converged : FitStatus.Stuck);
                }
                var actual = search.Try() ? (search.Sum - search.TrialSum) / search.Sum : -1;
                ratio = actual / promised;
                radius = NextRadius(radius, step, ratio);
                if (Math.Abs(actual) <= options.Tolerance && wholePromise <= options.Tolerance && ratio <= 2)
                    return actual > 0 ? search.Polished() : search.End(FitStatus.Converged);
            }
            while (ratio < LeastRatio);
            search.Accept();
            if (search.Steps >= options.MostSteps) return search.End(FitStatus.OutOfSteps);
            // The derivatives at an accepted point always exist where its residuals do.
            if (!search.Linearize()) return search.End(FitStatus.Stuck);
        }
    }

    private static double NextRadius(double radius, in ProposedStep step, double ratio)
    {
        if (ratio <= 0.25) return (ratio < 0 ? 0.25 : 0.5) * Math.Min(radius, step.ScaledLength);
        return ratio >= 0.75 || step.IsGaussNewton ? Math.Max(radius, 2 * step.ScaledLength) : radius;
    }
}
