using SweepRig.Analysis.Levels;
using SweepRig.Analysis.Tests.Models;
using SweepRig.Domain.Tubes;
using SweepRig.Tubes.Catalogue;
using SweepRig.Tubes.Model;
using static SweepRig.Analysis.Tests.Models.SimulatedRuns;

namespace SweepRig.Analysis.Tests.Levels;

/// <summary>Slope of small grid currents: Maxwellian velocities, I goes with exp(V/(kT/e)) (Spangenberg 1948, Vacuum Tubes, from memory). An oxide cathode works at 800 to 1300 K.</summary>
public sealed class CathodeTemperatureTests
{
    [Theory]
    [InlineData(ConnectionKind.Pentode, 6.3)]
    [InlineData(ConnectionKind.Triode, 6.3)]
    [InlineData(ConnectionKind.Pentode, 5.0)]
    public void It_is_found_within_its_uncertainty_on_simulated_runs(ConnectionKind kind, double heater)
    {
        // The simulated heater law: 1050 K at 6.3 V, with the power 0.4 of the voltage.
        var kelvin = 1050 * Math.Pow(heater / 6.3, 0.4);
        var covered = 0;
        double errors = 0;
        const int seeds = 40;
        for (ulong seed = 1; seed <= seeds; seed++)
        {
            var figure = Found(ExampleTubes.Sound6AU6, Connection(kind, heater: heater), seed, Even(-4, 0.2, 421));
            Assert.True(figure.Value is not null, figure.AbsentBecause);
            Assert.InRange(figure.Value!.Value, 800, 1300);
            Assert.InRange(figure.Uncertainty!.Value, 2, 0.12 * figure.Value.Value);
            if (Math.Abs(figure.Value.Value - kelvin) <= figure.ExpandedUncertainty) covered++;
            errors += (figure.Value.Value - kelvin) / figure.Uncertainty.Value / seeds;
        }
        Assert.InRange(covered, 35, seeds);
        Assert.InRange(errors, -0.7, 0.7);
    }

    [Fact]
    public void Worked_numbers_of_the_law_return_1050_K()
    {
        // 1 nA at -1.0 V and 27.538 nA at -0.7 V belong to 1050 K (worked from the law).
        var curve = Curves.Of(Curves.Even(-4, 0, 0.01), x => 12 - x, gridCurrent: x => Implicit(1e-9, -1.0, 0.3 / Math.Log(27.538), x));
        var figure = LevelFinder.Find(curve, Curves.Connection, new(), Curves.Known(Curves.Exact)).CathodeTemperature;
        Assert.Equal(1050, figure.Value!.Value, 1.0);
    }

    [Fact]
    public void Where_it_is_not_told_there_is_no_number_but_a_reason()
    {
        // Coarse steps; a sweep that ends before the onset; one that begins above the quiet part; leakage, whose slope no cathode has.
        Because("only; sweep from -4 V", Found(ExampleTubes.Sound6AU6, Connection(ConnectionKind.Pentode), 1, Even(-14, 24, 191)), "fewer than 7 readings", "stand out of its noise");
        Because("stays below 4 µA", Found(ExampleTubes.Sound6AU6, Connection(ConnectionKind.Pentode), 2, Even(-4, -1.5, 100)));
        Because("the drive begins at -1 V", Found(ExampleTubes.Sound6AU6, Connection(ConnectionKind.Pentode), 3, Even(-1, 0.5, 200)));
        var leaky = Curves.Of(Curves.Even(-6, 1, 0.02), x => 12 - x, 0.001, gridCurrent: x => 1e-6 * Math.Exp((x + 0.5) / 0.35));
        Because("leakage", LevelFinder.Find(leaky, Curves.Connection, new(), Curves.Known(Curves.Exact)).CathodeTemperature);
    }

    [Fact]
    public void Its_budget_names_scatter_drive_and_screen()
    {
        var figure = Found(ExampleTubes.Sound6AU6, Connection(ConnectionKind.Triode), 4, Even(-4, 0.2, 421));
        Assert.Contains(figure.Budget!, c => c.Name == "scatter of the readings");
        Assert.Contains(figure.Budget!, c => c.Name == "what the screen does to the grid current");
    }

    private static void Because(string reason, Figure figure, params string[] orElse)
    {
        Assert.Null(figure.Value);
        Assert.Equal("K", figure.Unit);
        Assert.True(orElse.Append(reason).Any(r => figure.AbsentBecause!.Contains(r, StringComparison.Ordinal)), figure.AbsentBecause);
    }

    private static Figure Found(TubeParameters tube, Connection connection, ulong seed, double[] drives)
    {
        var run = new SimulatedRuns(seed, offsetVolts: 2e-3, gain: 3e-4).Run(tube, connection, drives);
        var curve = run.Curves[0];
        curve = curve with { GridCurrent = [.. curve.Drive.Select((d, i) => (d - curve.Grid[i]) / connection.GridStopper.Value)] };
        return LevelFinder.Find(curve, connection, new(), run.Known).CathodeTemperature;
    }

    // Drive is what is swept; the grid lies a drop over the stopper below it.
    private static double Implicit(double amps, double at, double thermal, double drive)
    {
        double low = 0, high = 1;
        for (var n = 0; n < 200; n++)
        {
            var middle = 0.5 * (low + high);
            if (amps * Math.Exp((drive - 4_700 * middle - at) / thermal) > middle) low = middle;
            else high = middle;
        }
        return low;
    }
}
