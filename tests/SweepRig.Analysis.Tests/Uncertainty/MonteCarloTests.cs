using SweepRig.Analysis.Uncertainty;

namespace SweepRig.Analysis.Tests.Uncertainty;

/// <summary>Worked examples of JCGM 101:2008, clause 9, each beside its closed form or printed result (printed results from memory).</summary>
public class MonteCarloTests
{
    private static double Sum(ReadOnlySpan<double> x) => x[0] + x[1] + x[2] + x[3];

    private static EstimatedQuantity[] Four(ErrorShape shape, double last = 1) =>
        [.. Enumerable.Range(0, 4).Select(i => new EstimatedQuantity($"x{i + 1}", "1", 0, i == 3 ? last : 1, shape))];

    // 9.2.2, table 2: u 2.0, [-3.92, 3.92]. 9.2.3, table 3: u 2.0, [-3.88, 3.88]; ends in closed form ±2√3[2 - (3/5)^¼]. 9.2.4, table 4: u 10.1, [-17.0, 17.0].
    [Theory]
    [InlineData(ErrorShape.Normal, 1, 2.00, 3.92)]
    [InlineData(ErrorShape.Rectangular, 1, 2.00, 3.88)]
    [InlineData(ErrorShape.Rectangular, 10, 10.1, 17.0)]
    public void Sum_of_four(ErrorShape shape, double last, double uncertainty, double end)
    {
        var result = MonteCarlo.Propagate(Sum, Four(shape, last), new(SignificantDigits: 2, Seed: 7));
        Assert.True(result.IsSteady, $"{result.Trials} trials");
        Assert.Equal(0, result.Value, 0.02 * uncertainty);
        Assert.Equal(uncertainty, result.StandardUncertainty, 0.01 * uncertainty);
        Assert.Equal(-end, result.Low, 0.015 * end);
        Assert.Equal(end, result.High, 0.015 * end);
    }

    [Fact]
    public void Ends_of_the_sum_of_four_rectangular_errors_have_a_closed_form()
    {
        var exact = 2 * Math.Sqrt(3) * (2 - Math.Pow(0.6, 0.25));
        var result = MonteCarlo.Propagate(Sum, Four(ErrorShape.Rectangular), new(SignificantDigits: 2, Seed: 11));
        Assert.Equal(exact, result.High, 2 * result.Tolerance);
        // The budget, which knows two of them exactly and takes the others for normal, comes as near.
        var budget = Propagation.Of("1", Sum, Four(ErrorShape.Rectangular));
        Assert.Equal(exact, budget.ToFigure().ExpandedUncertainty!.Value, 0.02);
        Assert.Equal(17.0, Propagation.Of("1", Sum, Four(ErrorShape.Rectangular, 10)).ToFigure().ExpandedUncertainty!.Value, 0.1);
        // 9.2.4.5: the law of propagation is not validated there, as its interval is ±19.9.
        var wide = MonteCarlo.Propagate(Sum, Four(ErrorShape.Rectangular, 10), new(Seed: 5));
        Assert.False(wide.Validates(Propagation.Of("1", Sum, Four(ErrorShape.Rectangular, 10))));
        Assert.Equal(19.9, Propagation.Of("1", Sum, Four(ErrorShape.Rectangular, 10)).ExpandedUncertainty(0.95), 0.05);
        Assert.True(MonteCarlo.Propagate(Sum, Four(ErrorShape.Normal), new(Seed: 5)).Validates(Propagation.Of("1", Sum, Four(ErrorShape.Normal))));
    }

    // 9.3, mass calibration: tables 5 and 6. Deviation from 100 g in milligrams.
    private static readonly EstimatedQuantity[] Mass =
    [
        new("reference mass", "mg", 100_000.000, 0.050), new("balancing mass", "mg", 1.234, 0.020),
        EstimatedQuantity.Rectangular("air", "kg/m³", 1.20, 0.10), EstimatedQuantity.Rectangular("mass W", "kg/m³", 8_000, 1_000), EstimatedQuantity.Rectangular("mass R", "kg/m³", 8_000, 50),
    ];

    private static double MassDeviation(ReadOnlySpan<double> x) => (x[0] + x[1]) * (1 + (x[2] - 1.2) * (1 / x[3] - 1 / x[4])) - 100_000;

    [Fact]
    public void Mass_calibration()
    {
        var first = Propagation.Of("mg", MassDeviation, Mass);
        Assert.Equal(1.2340, first.Value, 5e-5);
        Assert.Equal(0.0539, first.StandardUncertainty, 5e-5);
        Assert.Equal(1.1285, first.Value - first.ExpandedUncertainty(0.95), 2e-4);
        Assert.Equal(0.0750, Propagation.Of("mg", MassDeviation, Mass, secondOrder: true).StandardUncertainty, 1e-3);

        var result = MonteCarlo.Propagate(MassDeviation, Mass, new(SignificantDigits: 2, Seed: 1));
        Assert.Equal(1.2341, result.Value, 0.001);
        Assert.Equal(0.0754, result.StandardUncertainty, 0.0005);
        Assert.Equal(1.0834, result.ShortestLow, 0.006);
        Assert.Equal(1.3825, result.ShortestHigh, 0.006);
        Assert.False(result.Validates(first));
    }

    // 9.4, comparison loss y = x1² + x2² of a power meter, u = 0.005. At x1 = x2 = 0 the result is u² times chi-square of two degrees of freedom: mean and standard deviation
    // 50e-6, shortest interval from 0 to -2u²ln 0.05 = 150e-6 (table 8). With r = 0.9 (table 9) 67e-6 and 185e-6. The law of propagation says 0 there.
    [Theory]
    [InlineData(0.0, 50e-6, 150e-6)]
    [InlineData(0.9, 67e-6, 185e-6)]
    public void Comparison_loss(double correlation, double uncertainty, double high)
    {
        EstimatedQuantity[] inputs = [new("real part", "1", 0, 0.005), new("imaginary part", "1", 0, 0.005)];
        Measurand loss = x => x[0] * x[0] + x[1] * x[1];
        var together = Correlations.None(2).With(0, 1, correlation);
        var result = MonteCarlo.Propagate(loss, inputs, new(SignificantDigits: 2, Seed: 2), together);
        Assert.Equal(50e-6, result.Value, 1e-6);
        Assert.Equal(uncertainty, result.StandardUncertainty, 1e-6);
        Assert.Equal(0, result.ShortestLow, 1e-6);
        Assert.Equal(high, result.ShortestHigh, 3e-6);
        Assert.Equal(0, Propagation.Of("1", loss, inputs, together).StandardUncertainty, 1e-12);
        if (correlation == 0) Assert.Equal(-2 * 0.005 * 0.005 * Math.Log(0.05), result.ShortestHigh, 3e-6);
    }

    [Fact]
    public void The_same_seed_gives_the_same_result_and_another_one_another()
    {
        var inputs = Four(ErrorShape.Triangular);
        Assert.Equal(MonteCarlo.Propagate(Sum, inputs, new(Seed: 4)), MonteCarlo.Propagate(Sum, inputs, new(Seed: 4)));
        Assert.NotEqual(MonteCarlo.Propagate(Sum, inputs, new(Seed: 4)).Value, MonteCarlo.Propagate(Sum, inputs, new(Seed: 6)).Value);
    }

    [Fact]
    public void A_result_that_is_not_steady_says_so()
    {
        // Of Cauchy's distribution, which has neither mean nor variance.
        var result = MonteCarlo.Propagate(x => x[0], [new("x", "1", 0, 1, DegreesOfFreedom: 1)], new(MostTrials: 200_000));
        Assert.False(result.IsSteady);
        Assert.Equal(200_000, result.Trials);
    }

    // JCGM 101:2008, 7.9.2.2, examples: 100.021 47 g with u 0.000 35 g has c 35, l -5, so 0.000 005; 2 K has 0.5 K.
    [Theory]
    [InlineData(0.00035, 2, 0.000005)]
    [InlineData(2, 1, 0.5)]
    [InlineData(0.0996, 2, 0.005)]
    public void Numerical_tolerance(double uncertainty, int digits, double tolerance) =>
        Assert.Equal(tolerance, MonteCarlo.Tolerance(uncertainty, digits), 1e-12);
}
