using SweepRig.Tubes.Catalogue;
using SweepRig.Tubes.Lots;
using SweepRig.Tubes.Model;

namespace SweepRig.Tubes.Tests.Lots;

public class LotSpreadTests
{
    private static readonly TubeParameters Typical = ExampleTubes.Sound6AU6;

    [Fact]
    public void The_same_seed_draws_the_same_tubes_and_a_longer_draw_begins_alike()
    {
        var few = new LotSpread().Draw(Typical, 14, 5);
        var many = new LotSpread().Draw(Typical, 14, 50);
        Assert.Equal(few, many.Take(5));
        Assert.NotEqual(few, new LotSpread().Draw(Typical, 15, 5));
        Assert.Equal(50, many.Distinct().Count());
    }

    [Fact]
    public void No_spread_draws_the_typical_tube() => Assert.All(LotSpread.None.Draw(Typical, 3, 4), t => Assert.Equal(Typical, t));

    [Fact]
    public void Every_tube_drawn_is_in_range() =>
        Assert.All(new LotSpread().Draw(ExampleTubes.Weak6AU6, 1, 2000), t => Assert.Empty(t.Faults()));

    // 4000 tubes: the standard deviation found is within 4 % of the true one but for one draw in three thousand; the seed is fixed.
    [Fact]
    public void The_spread_found_is_the_spread_asked()
    {
        var lot = new LotSpread().Draw(Typical, 2, 4000);
        Near(0.10, lot, t => Math.Log(t.Perveance));
        Near(0.05, lot, t => Math.Log(t.ScreenMu));
        Near(0.10, lot, t => t.GridOffset);
        Near(0.15, lot, t => Math.Log(t.CutoffSpread));
        Near(0.15, lot, t => Math.Log(t.GridShare));
        Near(0.08, lot, t => Math.Log(t.GridSpaceLimit));
        Near(0.08, lot, t => Math.Log(t.PlateSpaceLimit));
        Near(0.08, lot, t => Math.Log(t.PlateShare));
        Near(0.20, lot, t => Math.Log(t.FoldBackCurrent));
        Near(Math.Log(2), lot, t => Math.Log(t.Emission));
    }

    private static void Near(double deviation, IReadOnlyList<TubeParameters> lot, Func<TubeParameters, double> get)
    {
        var mean = lot.Average(get);
        var found = Math.Sqrt(lot.Average(t => Math.Pow(get(t) - mean, 2)));
        Assert.InRange(found / deviation, 0.95, 1.05);
        Assert.InRange((mean - get(Typical)) / deviation, -0.06, 0.06);
    }
}
