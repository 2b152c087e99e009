using SweepRig.Analysis.Grading;
using SweepRig.Analysis.Uncertainty;

namespace SweepRig.Analysis.Tests.Grading;

public sealed class LotYieldTests
{
    private static readonly GradeScheme Scheme = new([new("first", [new("vol", "V", null, 2), new("gain", "1", 8, null)]), new("second", [new("vol", "V", null, 3)])]);

    [Fact]
    public void A_tube_counts_for_a_lesser_grade_too()
    {
        var yields = LotYield.Of(Scheme, [Give(1, 12), Give(2.5, 12), Give(9, 1), Scheme.Give(new Dictionary<string, Figure>())]);
        Assert.Equal([("first", 1, 0, 2, 1), ("second", 2, 0, 1, 1)], yields.Select(y => (y.Grade, y.Sure, y.Undecided, y.Denied, y.NotMeasured)));
    }

    // One quantity on its limit: kept with a probability of one half (JCGM 106:2012, 7.3.2). Two of them: one quarter if independent, from 0 to one half whatever they are.
    [Fact]
    public void Tubes_on_a_limit_count_with_their_probability()
    {
        var yields = LotYield.Of(Scheme, [Give(2, 8), Give(3, 1)]);
        Assert.Equal((0.25, 0, 0.5), (Math.Round(yields[0].Expected, 9), yields[0].AtLeast, Math.Round(yields[0].AtMost, 9)));
        Assert.Equal(1.5, yields[1].Expected, 6);
        Assert.Equal((1, 1), (yields[0].Undecided, yields[0].Denied));
    }

    // Over many lots the number of tubes that truly keep to the limits is what was expected of their measurements, as true values with no preference of their own are (JCGM 106:2012, 7.2.2).
    [Fact]
    public void What_is_expected_comes_true_on_average()
    {
        var random = new RandomStream(11);
        double expected = 0, kept = 0;
        for (var n = 0; n < 20_000; n++)
        {
            var (vol, gain) = (1 + 2 * random.Uniform(), 6 + 4 * random.Uniform());
            var given = Scheme.Give(Figures(vol + 0.1 * random.Normal(), gain + 0.2 * random.Normal()));
            expected += LotYield.Of(Scheme, [given])[0].Expected;
            if (vol <= 2 && gain >= 8) kept++;
        }
        // Standard deviation of the difference about 20 tubes of some 5000.
        Assert.InRange(expected - kept, -150, 150);
        Assert.InRange(kept, 4500, 5500);
    }

    [Fact]
    public void Bounds_hold_the_expectation()
    {
        var random = new RandomStream(5);
        for (var n = 0; n < 200; n++)
        {
            var yield = LotYield.Of(Scheme, [Scheme.Give(Figures(2 + 0.2 * random.Normal(), 8 + 0.5 * random.Normal()))])[0];
            Assert.True(yield.AtLeast <= yield.Expected + 1e-12 && yield.Expected <= yield.AtMost + 1e-12);
        }
    }

    private static GradeGiven Give(double vol, double gain) => Scheme.Give(Figures(vol, gain));

    private static Dictionary<string, Figure> Figures(double vol, double gain) => new() { ["vol"] = Figure.Of(vol, "V", 0.1), ["gain"] = Figure.Of(gain, "1", 0.2) };
}
