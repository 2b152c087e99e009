using SweepRig.Rigs.Calibration.Fitting;

namespace SweepRig.Rigs.Tests.Calibration;

public sealed class LeastSquaresTests
{
    /// <summary>NIST Statistical Reference Datasets, linear regression, Norris (calibration of ozone monitors, 36 observations): y, x.</summary>
    private static readonly (double Y, double X)[] Norris =
    [
        (0.1, 0.2), (338.8, 337.4), (118.1, 118.2), (888.0, 884.6), (9.2, 10.1), (228.1, 226.5), (668.5, 666.3), (998.5, 996.3), (449.1, 448.6),
        (778.9, 777.0), (559.2, 558.2), (0.3, 0.4), (0.1, 0.6), (778.1, 775.5), (668.8, 666.9), (339.3, 338.0), (448.9, 447.5), (10.8, 11.6),
        (557.7, 556.0), (228.3, 228.1), (998.0, 995.8), (888.8, 887.6), (119.6, 120.2), (0.3, 0.3), (0.6, 0.3), (557.6, 556.8), (339.3, 339.1),
        (888.0, 887.2), (998.5, 999.0), (778.9, 779.0), (10.2, 11.1), (117.6, 118.3), (228.9, 229.2), (668.4, 669.1), (449.2, 448.9), (0.2, 0.5),
    ];

    /// <summary>JCGM 100:2008 (GUM), table H.6: thermometer readings and observed corrections, °C.</summary>
    private static readonly double[] Reading = [21.521, 22.012, 22.512, 23.003, 23.507, 23.999, 24.513, 25.002, 25.503, 26.010, 26.511];

    private static readonly double[] Observed = [-0.171, -0.169, -0.166, -0.159, -0.164, -0.165, -0.156, -0.157, -0.159, -0.161, -0.160];

    [Fact]
    public void Norris_comes_out_as_certified()
    {
        var fit = LeastSquares.Solve([.. Norris.Select(p => new[] { 1, p.X })], [.. Norris.Select(p => p.Y)], null);
        AssertDigits(-0.262323073774029, fit.Parameters[0], 11);
        AssertDigits(1.00211681802045, fit.Parameters[1], 13);
        AssertDigits(0.232818234301152, fit.Uncertainty(0), 12);
        AssertDigits(0.429796848199937e-3, fit.Uncertainty(1), 12);
        AssertDigits(0.884796396144373, Math.Sqrt(fit.ChiSquare / fit.DegreesOfFreedom), 12);
        Assert.Equal(34, fit.DegreesOfFreedom);
    }

    [Fact]
    public void Wampler1_a_polynomial_of_the_fifth_degree_comes_out_as_certified()
    {
        // NIST StRD, Wampler1: x = 0 to 20, y = 1 + x + ... + x⁵; all parameters are 1 and nothing is left over.
        double[] Powers(double x) => [1, x, x * x, x * x * x, x * x * x * x, x * x * x * x * x];
        var rows = Enumerable.Range(0, 21).Select(i => Powers(i)).ToArray();
        var fit = LeastSquares.Solve(rows, [.. rows.Select(r => r.Sum())], null);
        foreach (var parameter in fit.Parameters) AssertDigits(1, parameter, 8);
    }

    [Fact]
    public void The_thermometer_of_the_GUM_is_calibrated_as_in_its_example()
    {
        // JCGM 100:2008, H.3: y1, y2 with uncertainties and correlation (H.3.2), the correction at 30 °C with its uncertainty (H.3.3).
        var fit = LeastSquares.Solve([.. Reading.Select(t => new[] { 1, t - 20 })], Observed, null);
        Assert.Equal(-0.1712, fit.Parameters[0], 4);
        Assert.Equal(0.0029, fit.Uncertainty(0), 4);
        Assert.Equal(0.00218, fit.Parameters[1], 5);
        Assert.Equal(0.00067, fit.Uncertainty(1), 5);
        Assert.Equal(-0.930, fit.Correlation(0, 1), 3);
        Assert.Equal(0.0035, Math.Sqrt(fit.ChiSquare / fit.DegreesOfFreedom), 4);
        double[] at30 = [1, 10];
        Assert.Equal(-0.1494, fit.Parameters[0] + 10 * fit.Parameters[1], 4);
        Assert.Equal(0.0041, fit.PredictionUncertainty(at30), 4);
    }

    [Fact]
    public void Leaving_the_correlation_out_would_overstate_what_lies_within_the_data()
    {
        var fit = LeastSquares.Solve([.. Reading.Select(t => new[] { 1, t - 20 })], Observed, null);
        var without = Math.Sqrt(Math.Pow(fit.Uncertainty(0), 2) + Math.Pow(4 * fit.Uncertainty(1), 2));
        Assert.True(fit.PredictionUncertainty([1, 4]) < without / 3);
    }

    [Fact]
    public void A_point_of_twice_the_uncertainty_counts_like_a_quarter_of_a_point()
    {
        double[][] rows = [[1], [1], [1]];
        var fit = LeastSquares.Solve(rows, [1, 1, 4], [1, 1, 2]);
        // Weighted mean (1 + 1 + 4/4)/(1 + 1 + 1/4) and 1/sqrt of the sum of the weights.
        Assert.Equal(3 / 2.25, fit.Parameters[0], 12);
        Assert.Equal(1 / Math.Sqrt(2.25), fit.Uncertainty(0), 12);
    }

    [Fact]
    public void Points_in_one_place_are_refused()
    {
        Assert.Throws<ArgumentException>(() => LeastSquares.Solve([[1, 5.0], [1, 5.0], [1, 5.0]], [1, 2, 3], null));
        Assert.Throws<ArgumentException>(() => LeastSquares.Solve([[1, 5.0], [1, 6.0]], [1, 2], null));
    }

    private static void AssertDigits(double certified, double found, int digits) =>
        Assert.True(Math.Abs(found - certified) <= Math.Abs(certified) * Math.Pow(10, -digits), FormattableString.Invariant($"{found} is not {certified} to {digits} digits"));
}
