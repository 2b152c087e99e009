using SweepRig.Analysis.Fitting;

namespace SweepRig.Analysis.Tests.Fitting;

public sealed class LeastSquaresTests
{
    private static readonly double[] Times = [.. Enumerable.Range(0, 40).Select(i => i * 0.1)];

    [Fact]
    public void A_bound_holds_a_parameter_and_the_others_are_fitted_to_it()
    {
        // a exp(-b t) with truth a 2, b 1, and b kept at 1.5 or above: a is then linear and has a closed form.
        var problem = new Model(Times, [.. Times.Select(t => 2 * Math.Exp(-t))]);
        var fit = LeastSquares.Minimize(problem, [1, 3], new() { Lowest = [0, 1.5] });

        Assert.Equal(FitStatus.Converged, fit.Status);
        Assert.Equal(1.5, fit.Parameters[1]);
        Assert.True(fit.AtBound[1]);
        Assert.False(fit.AtBound[0]);
        var best = Times.Sum(t => 2 * Math.Exp(-2.5 * t)) / Times.Sum(t => Math.Exp(-3 * t));
        Assert.Equal(best, fit.Parameters[0], 1e-10);
        Assert.Equal(Times.Length - 1, fit.Freedom);
        Assert.True(double.IsPositiveInfinity(fit.Uncertainties()[1]));
        Assert.Equal(1 / Math.Sqrt(Times.Sum(t => Math.Exp(-3 * t))), fit.Uncertainties()[0], 1e-10);
    }

    [Fact]
    public void A_product_of_two_parameters_leaves_both_open_and_says_so()
    {
        var problem = new Model(Times, [.. Times.Select(t => 6 * t)], static (t, p, g) =>
        {
            (g[0], g[1]) = (p[1] * t, p[0] * t);
            return p[0] * p[1] * t;
        });
        var fit = LeastSquares.Minimize(problem, [1, 1]);
        Assert.Equal(FitStatus.Converged, fit.Status);
        Assert.Equal(6, fit.Parameters[0] * fit.Parameters[1], 1e-9);
        Assert.Equal(1, fit.Decomposition!.Rank);
        Assert.All(fit.Uncertainties(), u => Assert.True(double.IsPositiveInfinity(u)));
        // Their product is determined: a function of the parameters with no part in the open direction.
        double[] product = [fit.Parameters[1], fit.Parameters[0]];
        Assert.True(fit.Decomposition.OpenPart(product) < 1e-6);
        Assert.Equal(1 / Times.Sum(t => t * t), fit.Decomposition.Variance(product), 1e-9);
    }

    [Fact]
    public void Statuses_tell_why_there_is_no_result()
    {
        var problem = new Model(Times, [.. Times.Select(t => 2 * Math.Exp(-t))]);
        Assert.Equal(FitStatus.NoValueAtStart, LeastSquares.Minimize(problem, [double.NaN, 1]).Status);
        Assert.Equal(FitStatus.OutOfSteps, LeastSquares.Minimize(problem, [100, 9], new() { MostSteps = 2 }).Status);
        Assert.Equal(FitStatus.TooFewPoints, LeastSquares.Minimize(new Model([1.0], [1.0]), [1, 1]).Status);

        // Derivatives with the wrong sign never help downhill.
        var wrong = new Model(Times, [.. Times.Select(t => 2 * Math.Exp(-t))], static (t, p, g) =>
        {
            var e = Math.Exp(-p[1] * t);
            (g[0], g[1]) = (-e, p[0] * t * e);
            return p[0] * e;
        });
        Assert.Equal(FitStatus.Stuck, LeastSquares.Minimize(wrong, [1, 2]).Status);
    }

    [Fact]
    public void Faulty_calls_are_named()
    {
        var problem = new Model(Times, Times);
        Assert.Contains("2 parameters", Assert.Throws<ArgumentException>(() => LeastSquares.Minimize(problem, [1])).Message, StringComparison.Ordinal);
        Assert.Contains("Parameter 1", Assert.Throws<ArgumentException>(() => LeastSquares.Minimize(problem, [1, 1], new() { Lowest = [0, 2], Highest = [1, 1] })).Message, StringComparison.Ordinal);
        Assert.Throws<ArgumentException>(() => MultiStart.Minimize(problem, []));
    }

    [Fact]
    public void A_few_wild_points_are_found_and_left_out()
    {
        var random = new Random(5);
        var values = Array.ConvertAll(Times, t => 2 * Math.Exp(-t) + 0.01 * Normal(random));
        var clean = LeastSquares.Minimize(new Model(Times, values, sigma: 0.01), [1, 3]);
        Assert.Empty(RobustFit.Minimize(new Model(Times, values, sigma: 0.01), [1, 3]).Wild);

        values[7] += 0.8;
        values[20] -= 0.5;
        values[33] += 0.4;
        // Three of forty are more than a few.
        Assert.Empty(RobustFit.Minimize(new Model(Times, values, sigma: 0.01), [1, 3]).Wild);
        values[33] -= 0.4;
        var robust = RobustFit.Minimize(new Model(Times, values, sigma: 0.01), [1, 3]);
        Assert.Equal([7, 20], robust.Wild);
        Assert.Equal(Times.Length - 4, robust.Fit.Freedom);
        for (var j = 0; j < 2; j++) Assert.Equal(clean.Parameters[j], robust.Fit.Parameters[j], 1.5 * clean.Uncertainties()[j]);
        Assert.InRange(robust.Scale, 0.7, 1.4);
    }

    [Fact]
    public void Several_starts_tell_whether_they_agree()
    {
        // sin(b t) fitted from starts beyond half a wave ends in other minima.
        var problem = new Model(Times, [.. Times.Select(t => Math.Sin(5 * t))], static (t, p, g) =>
        {
            (g[0], g[1]) = (Math.Sin(p[1] * t), p[0] * t * Math.Cos(p[1] * t));
            return p[0] * g[0];
        });
        var fit = MultiStart.Minimize(problem, [[1, 12], [1, 4.8], [1, 5.3]]);
        Assert.Equal(5, fit.Best.Parameters[1], 1e-9);
        Assert.Equal(3, fit.Starts);
        Assert.Equal(2, fit.Agreeing);
    }

    private static double Normal(Random random) => Math.Sqrt(-2 * Math.Log(1 - random.NextDouble())) * Math.Cos(2 * Math.PI * random.NextDouble());

    private delegate double Law(double t, ReadOnlySpan<double> p, Span<double> gradient);

    private sealed class Model(double[] t, double[] y, Law? law = null, double sigma = 1) : ILeastSquaresProblem
    {
        private readonly Law _law = law ?? Decay;

        public int ParameterCount => 2;

        public int ResidualCount => t.Length;

        public bool Evaluate(ReadOnlySpan<double> parameters, Span<double> residuals, Span<double> jacobian)
        {
            Span<double> gradient = stackalloc double[2];
            for (var i = 0; i < t.Length; i++)
            {
                residuals[i] = (_law(t[i], parameters, gradient) - y[i]) / sigma;
                for (var j = 0; j < 2 && !jacobian.IsEmpty; j++) jacobian[j * t.Length + i] = gradient[j] / sigma;
            }
            return true;
        }

        private static double Decay(double t, ReadOnlySpan<double> p, Span<double> g)
        {
            var e = Math.Exp(-p[1] * t);
            (g[0], g[1]) = (e, -p[0] * t * e);
            return p[0] * e;
        }
    }
}
