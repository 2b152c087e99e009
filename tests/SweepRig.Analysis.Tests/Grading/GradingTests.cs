using SweepRig.Analysis.Grading;

namespace SweepRig.Analysis.Tests.Grading;

public sealed class GradingTests
{
    private static readonly QuantityLimit Low = new("VOL", "V", null, 3);

    // JCGM 106:2012, 7.3.3, example of a breakdown voltage: upper limit -5.40 V, estimate -5.47 V, u = 0.05 V; probability of conformity 0.92. From memory.
    [Fact]
    public void One_limit() => Assert.Equal(0.92, Conformity.KeepsTo(new("breakdown", "V", null, -5.40), -5.47, 0.05), 2);

    // JCGM 106:2012, Table 1: probability of conformity under one limit and the distance from it in standard uncertainties. From memory.
    [Theory]
    [InlineData(0.80, 0.84)]
    [InlineData(0.90, 1.28)]
    [InlineData(0.95, 1.64)]
    [InlineData(0.99, 2.33)]
    [InlineData(0.999, 3.09)]
    public void Table_of_one_limit(double probability, double distance)
    {
        Assert.Equal(probability, Conformity.KeepsTo(new("x", "V", null, 10), 10 - distance * 0.2, 0.2), 0.0015);
        Assert.Equal(probability, Conformity.KeepsTo(new("x", "V", 10, null), 10 + distance * 0.2, 0.2), 0.0015);
    }

    // JCGM 106:2012, 7.4: p = Phi((TU - y)/u) - Phi((TL - y)/u); numbers of the normal table (Phi(1) = 0.841345, Phi(2) = 0.977250).
    [Fact]
    public void Two_limits() => Assert.Equal(0.977250 - (1 - 0.841345), Conformity.KeepsTo(new("x", "V", 9, 12), 10, 1), 6);

    [Theory]
    [InlineData(2.79, Decision.Accept)]
    [InlineData(2.8, Decision.Accept)]
    [InlineData(2.81, Decision.Undecided)]
    [InlineData(3.19, Decision.Undecided)]
    [InlineData(3.21, Decision.Reject)]
    public void The_guard_band_is_an_expanded_uncertainty(double value, Decision decision) =>
        Assert.Equal(decision, Conformity.Of(Low, Figure.Of(value, "V", 0.1)).Decision);

    [Fact]
    public void Without_a_guard_band_the_risk_is_shared()
    {
        Assert.Equal(Decision.Accept, Conformity.Of(Low, Figure.Of(2.999, "V", 0.1), 0).Decision);
        Assert.Equal(Decision.Reject, Conformity.Of(Low, Figure.Of(3.001, "V", 0.1), 0).Decision);
    }

    [Fact]
    public void What_has_no_value_or_no_uncertainty_is_neither_accepted_nor_rejected()
    {
        Assert.Equal(Decision.Absent, Conformity.Of(Low, Figure.None("V", "the tube never conducts")).Decision);
        Assert.Equal(Decision.Undecided, Conformity.Of(Low, Figure.Of(1, "V", null)).Decision);
    }

    // A wrong acceptance is at its likeliest for a tube just outside: with the usual guard band 2.3 % of its measurements are accepted (one-sided, 2 u).
    [Fact]
    public void Wrong_acceptances_are_as_rare_as_stated()
    {
        var random = new SweepRig.Analysis.Uncertainty.RandomStream(7);
        var accepted = Enumerable.Range(0, 20_000).Count(_ => Conformity.Of(Low, Figure.Of(3 + 0.1 * random.Normal(), "V", 0.1)).Decision == Decision.Accept);
        Assert.InRange(accepted / 20_000.0, 0.019, 0.027);
    }

    [Fact]
    public void The_best_grade_that_is_sure_is_given_and_a_better_one_that_is_open_is_said()
    {
        GradeScheme scheme = new([new("first", [Low with { Highest = 2 }, new("gain", "1", 8, null)]), new("second", [Low])]);
        var good = scheme.Give(Figures(1.5, 12));
        Assert.Equal(("first", false), (good.Grade, good.IsUndecided));
        var open = scheme.Give(Figures(1.95, 12));
        Assert.Equal(("second", true), (open.Grade, open.IsUndecided));
        Assert.Equal("VOL", Assert.Single(open.Reasons).Limit.Quantity);
        Assert.InRange(open.AtLeast[0]!.Value, 0.6, 0.7);
        var second = scheme.Give(Figures(1.5, 4));
        Assert.Equal(("second", false), (second.Grade, second.IsUndecided));
        Assert.Null(scheme.Give(Figures(4, 4)).Grade);
        Assert.Equal((null, true), (scheme.Give(new Dictionary<string, Figure>()).Grade, scheme.Give(new Dictionary<string, Figure>()).IsUndecided));
    }

    [Theory]
    [InlineData(null, null)]
    [InlineData(3.0, 3.0)]
    [InlineData(double.NaN, 3.0)]
    public void A_limit_that_says_nothing_is_refused(double? lowest, double? highest) =>
        Assert.Throws<ArgumentException>(() => Conformity.Of(new("VOL", "V", lowest, highest), Figure.Of(1, "V", 0.1)));

    [Fact]
    public void Units_must_agree() => Assert.Throws<ArgumentException>(() => Conformity.Of(Low, Figure.Of(1, "A", 0.1)));

    private static Dictionary<string, Figure> Figures(double vol, double gain) => new() { ["VOL"] = Figure.Of(vol, "V", 0.1), ["gain"] = Figure.Of(gain, "1", 0.2) };
}
