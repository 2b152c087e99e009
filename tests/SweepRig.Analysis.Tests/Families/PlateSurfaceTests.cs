using SweepRig.Analysis.Families;
using SweepRig.Analysis.Levels;
using SweepRig.Domain.Plans;
using SweepRig.Domain.Quantities;
using SweepRig.Domain.Tubes;
using static SweepRig.Analysis.Tests.Families.Bench;

namespace SweepRig.Analysis.Tests.Families;

public sealed class PlateSurfaceTests
{
    private static readonly double[] Drive = Analysis.Tests.Curves.Even(-10, 20, 0.25);
    private static readonly double[] Rails = [6, 10, 14, 18, 22, 26, 30];
    private static readonly double[] Resistors = [4_700, 6_800, 10_000, 15_000, 22_000, 33_000];

    private static PlateSurface Triode(int seed) => Accepted(PlateSurface.Of([Run(With(ConnectionKind.Triode, 10_000), seed, Drive, SteppedSource.PlateRail, Rails)]));

    private static PlateSurface Pentode(int seed, Func<FamilyRun, FamilyRun>? change = null) => Accepted(PlateSurface.Of(
        [.. Resistors.Select((r, i) => Run(With(ConnectionKind.Pentode, r), seed + 1000 * i, Drive)).Select((run, i) => i == 2 && change is not null ? change(run) : run)]));

    private static T Accepted<T>(Domain.Outcome<T> outcome)
        where T : class
    {
        Assert.True(outcome.IsAccepted, string.Join("; ", outcome.Refusals));
        return outcome.Value;
    }

    [Theory]
    [InlineData(ConnectionKind.Triode, 22_000, 26)]
    [InlineData(ConnectionKind.Triode, 15_000, 20)]
    [InlineData(ConnectionKind.Pentode, 12_000, 28)]
    [InlineData(ConnectionKind.Pentode, 27_000, 28)]
    public void Another_resistor_or_rail_is_predicted_within_the_stated_uncertainty(ConnectionKind kind, double ohms, double rail)
    {
        var target = With(kind, ohms, rail);
        int inside = 0, all = 0;
        var widest = 0.0;
        for (var seed = 1; seed <= 8; seed++)
        {
            var predicted = Accepted((kind == ConnectionKind.Triode ? Triode(seed) : Pentode(seed)).Predict(new(new Volts(rail), new Ohms(ohms))));
            for (var i = 0; i < predicted.Drive.Length; i++)
            {
                if (double.IsNaN(predicted.Plate[i])) continue;
                all++;
                if (Math.Abs(predicted.Plate[i] - Truth(target, predicted.Drive[i])) <= 2 * predicted.PlateUncertainty[i]) inside++;
                widest = Math.Max(widest, predicted.PlateUncertainty[i]);
            }
        }
        Assert.True(all > 8 * 0.9 * Drive.Length, $"{all} predictions");
        Assert.True(inside >= 0.95 * all, $"{inside} of {all} within two standard uncertainties");
        Assert.True(widest < 0.5, $"widest standard uncertainty {widest:0.000} V");
    }

    [Fact]
    public void Levels_of_the_prediction_are_those_of_a_sweep_made_with_it()
    {
        var target = With(ConnectionKind.Triode, 22_000, 26);
        var predicted = Accepted(Triode(1).Predict(new(new Volts(26), new Ohms(22_000))));
        var levels = LevelFinder.Find(predicted.ToCurve(4_700), target, new LevelOptions(), Analysis.Tests.Curves.Known(Analysis.Tests.Curves.Exact));
        var measured = LevelFinder.Find(Run(target, 7, Drive).Curves[0], target, new LevelOptions(), Analysis.Tests.Curves.Known(Analysis.Tests.Curves.Exact));
        Assert.Equal(measured.LowestOutput.Value!.Value, levels.LowestOutput.Value!.Value, 0.1);
        Assert.Equal(measured.SwitchingDrive.Value!.Value, levels.SwitchingDrive.Value!.Value, 0.1);
        Assert.Equal(measured.UnityGainHigh.Value!.Value, levels.UnityGainHigh.Value!.Value, 0.3);
    }

    [Fact]
    public void Nothing_is_said_beyond_the_outermost_curve()
    {
        // Less resistance than any that was used: where the tube conducts, the line runs above every measured curve.
        var predicted = Accepted(Pentode(1).Predict(new(new Volts(28), new Ohms(2_200))));
        var conducting = Enumerable.Range(0, predicted.Drive.Length).Where(i => Truth(With(ConnectionKind.Pentode, 2_200), predicted.Drive[i]) < 27).ToList();
        Assert.NotEmpty(conducting);
        Assert.All(conducting, i => Assert.True(double.IsNaN(predicted.Plate[i]), $"{predicted.Drive[i]} V"));
        Assert.Contains("leaves what was measured", predicted.Note!, StringComparison.Ordinal);
    }

    [Fact]
    public void Nothing_is_read_across_missing_points()
    {
        var holed = Pentode(1, run => run with { Curves = [run.Curves[0].Without(-2, 1)] });
        Assert.Equal(Resistors.Length - 1, holed.AtDrive(0).Count);
        Assert.Equal(Resistors.Length, holed.AtDrive(2).Count);
    }

    [Fact]
    public void A_tolerance_of_the_resistor_widens_the_prediction()
    {
        var surface = Triode(1);
        var exact = Accepted(surface.Predict(new(new Volts(26), new Ohms(22_000))));
        var loose = Accepted(surface.Predict(new(new Volts(26), new Ohms(22_000), 0.05, 0.05 * 22_000 / Math.Sqrt(3))));
        var at = Array.IndexOf(exact.Drive, 0);
        Assert.Equal(exact.Plate[at], loose.Plate[at], 1e-12);
        // What the law of propagation gives (JCGM 100:2008, 5.1.2): the difference of two predictions a little apart is the sensitivity.
        var shifted = Accepted(surface.Predict(new(new Volts(26), new Ohms(22_100))));
        var moved = Accepted(surface.Predict(new(new Volts(26.1), new Ohms(22_000))));
        var byResistor = (shifted.Plate[at] - exact.Plate[at]) / 100 * 0.05 * 22_000 / Math.Sqrt(3);
        var byRail = (moved.Plate[at] - exact.Plate[at]) / 0.1 * 0.05;
        var expected = Math.Sqrt(exact.PlateUncertainty[at] * exact.PlateUncertainty[at] + byResistor * byResistor + byRail * byRail);
        Assert.Equal(expected, loose.PlateUncertainty[at], 0.03 * expected);
    }

    [Fact]
    public void The_surface_can_be_drawn_with_load_lines_on_it()
    {
        var surface = Triode(1);
        var line = new LoadLine(new Volts(26), new Ohms(22_000));
        Assert.Equal([new(0, 26.0 / 22_000), new(26, 0)], line.Ends);
        var grid = surface.AtGrid(-0.5);
        Assert.Equal(Rails.Length, grid.Count);
        Assert.Equal(grid.OrderBy(p => p.PlateVolts), grid);
        // In triode connection the current rises with the plate voltage at equal grid voltage.
        Assert.All(grid.Zip(grid.Skip(1)), p => Assert.True(p.Second.PlateAmps > p.First.PlateAmps));
        Assert.All(grid, p => Assert.Equal(Bench.Tube.Evaluate(-0.5, p.PlateVolts, p.PlateVolts) is var i ? i.Plate + i.Screen : 0, p.PlateAmps, 0.02 * p.PlateAmps + 5e-6));
        Assert.All(Accepted(surface.Predict(line)).OperatingPoints, p => Assert.Equal(line.CurrentAt(p.PlateVolts), p.PlateAmps, 1e-15));
    }
}
