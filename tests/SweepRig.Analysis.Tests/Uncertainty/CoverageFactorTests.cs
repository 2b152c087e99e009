using SweepRig.Analysis.Uncertainty;

namespace SweepRig.Analysis.Tests.Uncertainty;

public class CoverageFactorTests
{
    // JCGM 100:2008, table G.2, fraction 95 %.
    [Theory]
    [InlineData(1, 12.71)]
    [InlineData(5, 2.57)]
    [InlineData(10, 2.23)]
    [InlineData(50, 2.01)]
    [InlineData(double.PositiveInfinity, 1.960)]
    public void Students_factor(double degreesOfFreedom, double factor) => Assert.Equal(factor, Coverage.Student(degreesOfFreedom, 0.95), 0.005);

    // One rectangle: 0.95·√3. Two alike make a triangle: √6·(1 - √0.05). Normal alone: 1.96.
    [Theory]
    [InlineData(1, 0, 0, 1.6454)]
    [InlineData(1, 1, 0, 1.9018)]
    [InlineData(0, 0, 1, 1.9600)]
    public void Factor_of_a_sum(double first, double second, double normal, double factor) => Assert.Equal(factor, Coverage.Factor(first, second, normal), 0.002);

    [Theory]
    [InlineData(1, 0.2, 0.5)]
    [InlineData(0.3, 0, 1)]
    [InlineData(1, 0.9, 0.3)]
    public void Interval_of_a_sum_holds_95_percent_of_trials(double first, double second, double normal)
    {
        EstimatedQuantity[] inputs = [new("a", "1", 0, first, ErrorShape.Rectangular), new("b", "1", 0, second, ErrorShape.Rectangular), new("c", "1", 0, normal)];
        Measurand sum = x => x[0] + x[1] + x[2];
        var half = Propagation.Of("1", sum, inputs).ToFigure().ExpandedUncertainty!.Value;
        var random = new RandomStream(9);
        const int trials = 200_000;
        var inside = Enumerable.Range(0, trials).Count(_ => Math.Abs(inputs.Sum(random.Error)) <= half);
        // Three standard deviations of a count.
        Assert.Equal(0.95, inside / (double)trials, 3 * Math.Sqrt(0.95 * 0.05 / trials) + 0.0005);
    }

    [Fact]
    public void Few_degrees_of_freedom_widen_the_interval()
    {
        var budget = Propagation.Of("V", x => x[0], [EstimatedQuantity.OfReadings("output", "V", [1.0, 1.1, 0.9])]);
        Assert.Equal(2, budget.DegreesOfFreedom!.Value, 1e-9);
        Assert.Equal(4.30, budget.ToFigure().CoverageFactor!.Value, 0.005);
    }

    [Fact]
    public void A_figure_tells_its_expanded_uncertainty_and_what_it_is_made_of()
    {
        var figure = Propagation.Of("A", x => x[0] / x[1], [new("drop", "V", 10, 0.01), EstimatedQuantity.Rectangular("resistor", "Ω", 10_000, 100)]).ToFigure("not calibrated");
        Assert.Equal(0.001, figure.Value!.Value, 1e-12);
        Assert.Equal(figure.Uncertainty * figure.CoverageFactor, figure.ExpandedUncertainty);
        Assert.Equal(["drop", "resistor"], figure.Budget!.Select(c => c.Name));
        Assert.Equal(1e-6, figure.Budget![0].Part, 1e-12);
        Assert.Equal(-0.001 * 0.01 / Math.Sqrt(3), figure.Budget[1].Part, 1e-9);
        Assert.Equal(2, Figure.Of(1, "V", 0.1).CoverageFactor);
        Assert.Null(Figure.None("V", "it does not conduct").ExpandedUncertainty);
    }

    [Fact]
    public void What_cannot_be_is_refused_in_words()
    {
        Assert.Contains("at least 2 readings", Assert.Throws<ArgumentException>(() => EstimatedQuantity.OfReadings("output", "V", [1.0])).Message, StringComparison.Ordinal);
        Assert.Contains("output is NaN", Assert.Throws<ArgumentException>(() => new EstimatedQuantity("output", "V", double.NaN, 1)).Message, StringComparison.Ordinal);
        Assert.Contains("give 0 or more", Assert.Throws<ArgumentException>(() => new EstimatedQuantity("output", "V", 1, -1)).Message, StringComparison.Ordinal);
        Assert.Contains("from -1 to 1", Assert.Throws<ArgumentException>(() => Correlations.None(2).With(0, 1, 1.5)).Message, StringComparison.Ordinal);
        var impossible = Correlations.None(3).With(0, 1, 0.9).With(1, 2, 0.9).With(0, 2, -0.9);
        Assert.Contains("contradict each other", Assert.Throws<ArgumentException>(impossible.Factor).Message, StringComparison.Ordinal);
    }
}
