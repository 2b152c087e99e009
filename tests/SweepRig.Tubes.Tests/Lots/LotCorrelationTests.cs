using SweepRig.Tubes.Catalogue;
using SweepRig.Tubes.Lots;
using SweepRig.Tubes.Model;

namespace SweepRig.Tubes.Tests.Lots;

public class LotCorrelationTests
{
    private static readonly Func<TubeParameters, double>[] Constants =
    [
        t => Math.Log(t.Perveance), t => Math.Log(t.ScreenMu), t => t.GridOffset, t => Math.Log(t.CutoffSpread), t => Math.Log(t.GridShare),
        t => Math.Log(t.GridSpaceLimit), t => Math.Log(t.PlateSpaceLimit), t => Math.Log(t.PlateShare), t => Math.Log(t.FoldBackCurrent), t => Math.Log(t.Emission),
    ];

    // Standard error of a correlation of 4000 pairs is at most 0.016; four of them, and the clipping of the far tails.
    [Fact]
    public void Every_pair_of_constants_is_correlated_as_stated()
    {
        var lot = new LotSpread().Draw(ExampleTubes.Sound6AU6, 11, 4000);
        Assert.Equal(LotCorrelation.Count, Constants.Length);
        for (var a = 0; a < Constants.Length; a++)
            for (var b = 0; b < a; b++)
                Assert.True(Math.Abs(Found(lot, Constants[a], Constants[b]) - LotCorrelation.Between(a, b)) < 0.07, $"{LotCorrelation.Names[a]} and {LotCorrelation.Names[b]}");
    }

    // Richardson's law at a constant emission constant: a factor 10 of emission is kT/e ln 10 of work function, 208.34 mV at 1050 K (CODATA 2018).
    [Fact]
    public void A_tenth_of_the_emission_moves_the_contact_potential_by_a_decade_of_thermal_voltage()
    {
        var worn = TubeAge.WithEmission(ExampleTubes.Sound6AU6, 0.1);
        Assert.Equal(0.20834, ExampleTubes.Sound6AU6.GridOffset - worn.GridOffset, 5);
        Assert.Equal(0.012, worn.Emission, 9);
    }

    private static double Found(IReadOnlyList<TubeParameters> lot, Func<TubeParameters, double> a, Func<TubeParameters, double> b)
    {
        double meanA = lot.Average(a), meanB = lot.Average(b);
        return lot.Average(t => (a(t) - meanA) * (b(t) - meanB))
            / Math.Sqrt(lot.Average(t => Math.Pow(a(t) - meanA, 2)) * lot.Average(t => Math.Pow(b(t) - meanB, 2)));
    }
}
