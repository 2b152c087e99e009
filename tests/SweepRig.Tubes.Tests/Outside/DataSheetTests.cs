using SweepRig.Domain.Quantities;
using SweepRig.Tubes.Catalogue;
using SweepRig.Tubes.Laws;
using SweepRig.Tubes.Model;

namespace SweepRig.Tubes.Tests.Outside;

/// <summary>
/// The example tubes against printed operating points. The points are from memory of common tables, no sheet was at hand; the tolerances are wide:
/// sheets give averages and single tubes lie within some 30 % of them.
/// </summary>
public class DataSheetTests
{
    [Theory]
    [InlineData("6AU6", 250, 150, 68, 10.6, 4.3, 5200)]
    [InlineData("6AU6", 250, 125, 100, 7.6, 3.0, 4500)]
    [InlineData("6AU6", 100, 100, 150, 5.0, 2.1, 3900)]
    public void Points_with_a_cathode_resistor(string type, double plate, double screen, double ohms, double plateMilliamps, double screenMilliamps, double microsiemens)
    {
        var model = Model(type);
        // The cathode rises by the current through its resistor: found by halving.
        double low = 0, high = 10;
        for (var n = 0; n < 60; n++)
        {
            var k = 0.5 * (low + high);
            if (model.Evaluate(-k, screen - k, plate - k).Cathode * ohms > k) low = k;
            else high = k;
        }
        Compare(model, -low, screen - low, plate - low, plateMilliamps, screenMilliamps, microsiemens);
    }

    [Theory]
    [InlineData("6BH6", 250, 150, -1, 7.4, 2.9, 4600)]
    [InlineData("6BH6", 100, 100, -1, 3.6, 1.4, 3400)]
    public void Points_with_fixed_bias(string type, double plate, double screen, double bias, double plateMilliamps, double screenMilliamps, double microsiemens) =>
        Compare(Model(type), bias, screen, plate, plateMilliamps, screenMilliamps, microsiemens);

    [Theory]
    [InlineData("6AU6", 250, 150, -6.5)]
    [InlineData("6AU6", 250, 125, -5.5)]
    [InlineData("6AU6", 100, 100, -4.2)]
    [InlineData("6BH6", 250, 150, -7.7)]
    [InlineData("6BH6", 100, 100, -5.0)]
    public void Grid_voltage_for_10_microamperes(string type, double plate, double screen, double volts)
    {
        var model = Model(type);
        double low = -30, high = 0;
        for (var n = 0; n < 60; n++)
        {
            var vg = 0.5 * (low + high);
            if (model.Evaluate(vg, screen, plate).Plate < 10e-6) low = vg;
            else high = vg;
        }
        Assert.Equal(volts, low, 0.4);
    }

    [Fact]
    public void Triode_connected_at_250_V_with_330_ohm()
    {
        var model = Model("6AU6");
        double low = 0, high = 10;
        for (var n = 0; n < 60; n++)
        {
            var k = 0.5 * (low + high);
            if (model.Evaluate(-k, 250 - k, 250 - k).Cathode * 330 > k) low = k;
            else high = k;
        }
        var i = model.Evaluate(-low, 250 - low, 250 - low, out var d);
        var found = SmallSignal.OfTriode(d);
        Assert.Equal(12.2e-3, i.Cathode, 12.2e-3 * 0.10);
        Assert.Equal(36, found.Mu, 36 * 0.15);
        // The model is some 20 % steeper than the table here.
        Assert.Equal(4800e-6, found.Transconductance, 4800e-6 * 0.30);
    }

    private static TubeModel Model(string type) => new(TypeCatalogue.Find(type)!.Example!, new Volts(6.3));

    private static void Compare(TubeModel model, double vg1, double vg2, double vp, double plateMilliamps, double screenMilliamps, double microsiemens)
    {
        var i = model.Evaluate(vg1, vg2, vp, out var d);
        Assert.Equal(plateMilliamps, i.Plate * 1e3, plateMilliamps * 0.10);
        Assert.Equal(screenMilliamps, i.Screen * 1e3, screenMilliamps * 0.10);
        Assert.Equal(microsiemens, d.PlateByGrid * 1e6, microsiemens * 0.10);
    }
}
