using SweepRig.Analysis.Levels;
using SweepRig.Domain.Measurement;
using SweepRig.Domain.Runs;

namespace SweepRig.Analysis.Tests.Levels;

public sealed class ReferenceLevelsTests
{
    private static readonly double[] Drives = Curves.Even(-6, 2, 0.1);

    // 24 V less the drop of a plate current that rises by 0.3 mA a volt through 10 kilohms.
    private static double Plate(double drive) => 24 - 10_000 * PlateAmps(drive);

    private static double PlateAmps(double drive) => 1e-3 + 0.2e-3 * drive / (1 + Math.Abs(drive) / 6);

    private static double GridAmps(double drive) => 20e-6 * Math.Exp(drive);

    [Fact]
    public void Currents_are_read_at_0_V_and_the_rail_is_the_mean()
    {
        var levels = Of(Curves.Of(Drives, Plate, noise: 1e-4, gridCurrent: GridAmps));
        Near(1e-3, levels.PlateCurrentAtZero);
        Near(20e-6, levels.GridCurrentAtZero);
        Assert.Equal(24, levels.Supply.Value!.Value, 1e-12);
    }

    [Fact]
    public void A_sweep_that_ends_at_0_V_shows_them_too_and_half_a_drive_step_short_of_it_is_there()
    {
        var levels = Of(Curves.Of(Curves.Even(-6, 0, 0.1), Plate, noise: 1e-4, gridCurrent: GridAmps));
        Near(1e-3, levels.PlateCurrentAtZero);
        var shortOf = Of(Curves.Of([.. Curves.Even(-6, 0, 0.1).Select(d => d - 0.01)], Plate, noise: 1e-4, gridCurrent: GridAmps));
        Near(1e-3, shortOf.PlateCurrentAtZero);
    }

    [Fact]
    public void Where_0_V_was_not_swept_or_its_points_are_missing_there_is_no_figure_and_the_reason_says_what_to_do()
    {
        Assert.Contains("ends at -2", Of(Curves.Of(Curves.Even(-6, -2, 0.1), Plate)).PlateCurrentAtZero.AbsentBecause, StringComparison.Ordinal);
        Assert.Contains("begins at 1", Of(Curves.Of(Curves.Even(1, 4, 0.1), Plate)).GridCurrentAtZero.AbsentBecause, StringComparison.Ordinal);
        var curve = Curves.Of(Drives, Plate);
        for (var i = 0; i < Drives.Length; i++)
            if (Math.Abs(Drives[i]) < 0.35) curve.PlateCurrent[i] = double.NaN;
        Assert.Contains("gap between", Of(curve).PlateCurrentAtZero.AbsentBecause, StringComparison.Ordinal);
        var unread = curve with { Supply = [.. curve.Supply.Select(_ => double.NaN)] };
        Assert.Equal("the plate rail was not measured", Of(unread).Supply.AbsentBecause);
    }

    [Fact]
    public void The_rail_and_the_plate_current_are_as_sure_as_the_calibration()
    {
        var levels = LevelFinder.Find(Curves.Of(Drives, Plate), Curves.Connection, new(), Curves.Known(Curves.Nominal));
        // Of the rail that of its channel; of the current that of two channels over the plate resistor, and of the resistor, which this calibration has as exact.
        Assert.Equal(Curves.Known(Curves.Nominal).StandardUncertainty(InputQuantity.Voltage(VoltagePlace.Supply, 24).Times(1)), levels.Supply.Uncertainty!.Value, 1e-9);
        Assert.Equal(Curves.Known(Curves.Nominal).CurrentUncertainty(MeasuredCurrent.Plate, 24, 14), levels.PlateCurrentAtZero.Uncertainty!.Value, 0.05 * levels.PlateCurrentAtZero.Uncertainty!.Value);
        Assert.Contains("not calibrated", levels.Supply.Mark, StringComparison.Ordinal);
    }

    private static CurveLevels Of(Curve curve) => LevelFinder.Find(curve, Curves.Connection, new(), Curves.Known(Curves.Exact));

    private static void Near(double expected, Figure found)
    {
        Assert.True(found.Uncertainty is > 0, "no uncertainty");
        Assert.InRange((found.Value!.Value - expected) / found.Uncertainty!.Value, -4, 4);
        Assert.InRange(found.Value!.Value / expected, 0.98, 1.02);
    }
}
