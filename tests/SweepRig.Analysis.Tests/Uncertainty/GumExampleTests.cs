using SweepRig.Analysis.Uncertainty;

namespace SweepRig.Analysis.Tests.Uncertainty;

/// <summary>Worked examples of JCGM 100:2008, annex H.</summary>
public class GumExampleTests
{
    // H.1, end-gauge calibration: l = ls + d - ls(dAlpha*theta + alphaS*dTheta), in nanometres. Inputs as table H.1.
    private static readonly EstimatedQuantity[] EndGauge =
    [
        new("standard", "nm", 50_000_623, 25, DegreesOfFreedom: 18),
        new("mean of observations", "nm", 215, 5.8, DegreesOfFreedom: 24),
        new("comparator, random", "nm", 0, 3.9, DegreesOfFreedom: 5),
        new("comparator, systematic", "nm", 0, 6.7, DegreesOfFreedom: 8),
        EstimatedQuantity.Rectangular("expansion of the standard", "1/K", 11.5e-6, 2e-6),
        new("mean temperature of the bed", "K", -0.1, 0.2),
        new("swing of the temperature", "K", 0, 0.5 / Math.Sqrt(2), ErrorShape.Arcsine),
        new("difference of expansion", "1/K", 0, 1e-6 / Math.Sqrt(3), ErrorShape.Rectangular, 50),
        new("difference of temperature", "K", 0, 0.05 / Math.Sqrt(3), ErrorShape.Rectangular, 2),
    ];

    private static double EndGaugeLength(ReadOnlySpan<double> x) =>
        x[0] + x[1] + x[2] + x[3] - x[0] * (x[7] * (x[5] + x[6]) + x[4] * x[8]);

    [Fact]
    public void End_gauge()
    {
        var budget = Propagation.Of("nm", EndGaugeLength, EndGauge);
        Assert.Equal(50_000_838, budget.Value, 0.5);
        // H.1.4: 32 nm; unrounded from the printed components 25, 5.8, 3.9, 6.7, 2.9, 16.6.
        Assert.Equal(31.7, budget.StandardUncertainty, 0.1);
        Assert.Equal(2.9, Math.Abs(budget.Contributions[7].Part), 0.05);
        Assert.Equal(16.6, Math.Abs(budget.Contributions[8].Part), 0.05);
        Assert.Equal(0, budget.Contributions[4].Part);
        // H.1.6: 16 effective degrees of freedom, t99(16) = 2.92, U99 = 93 nm.
        Assert.Equal(16, Math.Floor(budget.DegreesOfFreedom!.Value));
        Assert.Equal(2.92, budget.CoverageFactor(0.99), 0.005);
        Assert.Equal(93, budget.ExpandedUncertainty(0.99), 1.0);
    }

    [Fact]
    public void End_gauge_with_terms_of_the_second_order()
    {
        // H.1.7: 34 nm, by terms of 11.7 nm and 1.7 nm.
        var budget = Propagation.Of("nm", EndGaugeLength, EndGauge, secondOrder: true);
        Assert.Equal(33.8, budget.StandardUncertainty, 0.2);
        Assert.Equal(Math.Sqrt(11.7 * 11.7 + 1.7 * 1.7), Math.Sqrt(budget.SecondOrderVariance), 0.1);
    }

    // H.2, simultaneous resistance and reactance: table H.2.
    private static readonly double[] Volts = [5.007, 4.994, 5.005, 4.990, 4.999];
    private static readonly double[] Amps = [19.663e-3, 19.639e-3, 19.640e-3, 19.685e-3, 19.678e-3];
    private static readonly double[] Phase = [1.0456, 1.0438, 1.0468, 1.0428, 1.0433];

    private static readonly Measurand[] Results =
    [
        x => x[0] / x[1] * Math.Cos(x[2]),
        x => x[0] / x[1] * Math.Sin(x[2]),
        x => x[0] / x[1],
    ];

    private static EstimatedQuantity[] Inputs =>
        [EstimatedQuantity.OfReadings("voltage", "V", Volts), EstimatedQuantity.OfReadings("current", "A", Amps), EstimatedQuantity.OfReadings("phase", "rad", Phase)];

    [Fact]
    public void Means_and_correlations_of_readings_taken_together()
    {
        var inputs = Inputs;
        Assert.Equal(4.9990, inputs[0].Value, 5e-5);
        Assert.Equal(0.0032, inputs[0].StandardUncertainty, 5e-5);
        Assert.Equal(19.6610e-3, inputs[1].Value, 5e-8);
        Assert.Equal(0.0095e-3, inputs[1].StandardUncertainty, 5e-8);
        Assert.Equal(1.04446, inputs[2].Value, 5e-6);
        Assert.Equal(0.00075, inputs[2].StandardUncertainty, 5e-6);
        Assert.Equal(4, inputs[0].DegreesOfFreedom);
        var together = Correlations.OfReadings(Volts, Amps, Phase);
        Assert.Equal(-0.36, together[0, 1], 0.005);
        Assert.Equal(0.86, together[0, 2], 0.005);
        Assert.Equal(-0.65, together[1, 2], 0.005);
    }

    [Theory]
    [InlineData(0, 127.732, 0.071)]
    [InlineData(1, 219.847, 0.295)]
    [InlineData(2, 254.260, 0.236)]
    public void Resistance_reactance_and_impedance_by_correlated_propagation(int result, double value, double uncertainty)
    {
        var budget = Propagation.Of("Ω", Results[result], Inputs, Correlations.OfReadings(Volts, Amps, Phase));
        // Table H.3.
        Assert.Equal(value, budget.Value, 0.0005);
        Assert.Equal(uncertainty, budget.StandardUncertainty, 0.001);
        // G.4.1 holds for independent inputs only.
        Assert.Null(budget.DegreesOfFreedom);
    }

    [Theory]
    [InlineData(0, 1, -0.588)]
    [InlineData(0, 2, -0.485)]
    [InlineData(1, 2, 0.993)]
    public void Correlation_of_the_results(int a, int b, double coefficient)
    {
        // Table H.3.
        var together = Correlations.OfReadings(Volts, Amps, Phase);
        double Covariance(int i, int j) => Propagation.Covariance(Results[i], Results[j], Inputs, together);
        Assert.Equal(coefficient, Covariance(a, b) / Math.Sqrt(Covariance(a, a) * Covariance(b, b)), 0.0005);
    }

    [Theory]
    [InlineData(0, 127.732, 0.071)]
    [InlineData(1, 219.847, 0.295)]
    [InlineData(2, 254.260, 0.236)]
    public void The_same_by_evaluating_each_set(int result, double value, double uncertainty)
    {
        // H.2.4, table H.4: approach 2.
        var each = Enumerable.Range(0, Volts.Length).Select(i => Results[result]([Volts[i], Amps[i], Phase[i]])).ToArray();
        var mean = EstimatedQuantity.OfReadings("result", "Ω", each);
        Assert.Equal(value, mean.Value, 0.001);
        Assert.Equal(uncertainty, mean.StandardUncertainty, 0.001);
    }

    // JCGM 101:2008, 9.5 and tables 10 and 11: the end gauge by Monte Carlo, 838 nm, 36 nm, [745, 932] at 99 %. The last two inputs of table 10 are trapezoids whose
    // sides are curved because their limits are not well known: (a - d + 2dr) to the mirror of it.
    [Fact]
    public void End_gauge_by_monte_carlo()
    {
        EstimatedQuantity[] inputs =
        [
            .. EndGauge[..7],
            EstimatedQuantity.Rectangular("limit of the difference of expansion", "1", 0, 1), EstimatedQuantity.Rectangular("place between its limits", "1", 0, 1),
            EstimatedQuantity.Rectangular("limit of the difference of temperature", "1", 0, 1), EstimatedQuantity.Rectangular("place between its limits", "1", 0, 1),
        ];
        var result = MonteCarlo.Propagate(
            x => EndGaugeLength([x[0] - 50_000_000, x[1], x[2], x[3], x[4], x[5], x[6], 0, 0])
                - x[0] * ((1e-6 + 0.1e-6 * x[7]) * x[8] * (x[5] + x[6]) + x[4] * (0.05 + 0.025 * x[9]) * x[10]),
            inputs, new(Probability: 0.99, SignificantDigits: 1, Seed: 3));
        Assert.True(result.IsSteady);
        Assert.Equal(838, result.Value, 1.0);
        Assert.Equal(36, result.StandardUncertainty, 0.6);
        Assert.Equal(745, result.Low, 3.0);
        Assert.Equal(932, result.High, 3.0);
        var budget = Propagation.Of("nm", EndGaugeLength, EndGauge);
        Assert.True(Math.Abs(budget.StandardUncertainty - result.StandardUncertainty) > 2);
    }
}
