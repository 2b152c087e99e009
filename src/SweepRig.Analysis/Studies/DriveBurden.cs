using SweepRig.Domain.Measurement;
using SweepRig.Domain.Runs;

namespace SweepRig.Analysis.Studies;

/// <summary>What a sweep asked of its tube: the largest of each, with standard uncertainty, and the charge that went into the grid.</summary>
/// <param name="GridAmps">Largest current into grid 1.</param>
/// <param name="GridWatts">Largest power of grid 1, while it was positive; 0 where it never was.</param>
/// <param name="PlateWatts">Of the plate; in triode connection of plate and screen together.</param>
/// <param name="ScreenWatts">Of the screen; absent in triode connection.</param>
/// <param name="GridCoulombs">Of the grid's forward current over the time of the sweep.</param>
public sealed record DriveBurden(Figure GridAmps, Figure GridWatts, Figure PlateWatts, Figure ScreenWatts, Figure GridCoulombs)
{
    /// <param name="curve">One pass.</param>
    /// <param name="known">What the calibration leaves unknown.</param>
    /// <param name="pointSeconds">Longest that a point takes.</param>
    public static DriveBurden Of(Curve curve, MeasurementUncertainty known, double pointSeconds)
    {
        ArgumentNullException.ThrowIfNull(curve);
        ArgumentNullException.ThrowIfNull(known);
        return new(
            Largest(curve, "A", i => curve.GridCurrent[i], i => At(curve.GridCurrentUncertainty, i)),
            Largest(curve, "W", i => curve.Grid[i] > 0 ? curve.Grid[i] * curve.GridCurrent[i] : 0, i => OfPower(curve.Grid[i], At(curve.GridUncertainty, i), curve.GridCurrent[i], At(curve.GridCurrentUncertainty, i))),
            Largest(curve, "W", i => curve.Plate[i] * curve.PlateCurrent[i], i => OfPower(curve.Plate[i], curve.PlateUncertainty[i], curve.PlateCurrent[i], At(curve.PlateCurrentUncertainty, i))),
            Largest(curve, "W", i => curve.Screen[i] * curve.ScreenCurrent[i], i => OfPower(curve.Screen[i], At(curve.ScreenUncertainty, i), curve.ScreenCurrent[i], At(curve.ScreenCurrentUncertainty, i))),
            GridCharge.Of(curve, pointSeconds));
    }

    private static Figure Largest(Curve curve, string unit, Func<int, double> value, Func<int, double> uncertainty)
    {
        var most = -1;
        for (var i = 0; i < curve.Count; i++)
            if (double.IsFinite(value(i)) && (most < 0 || value(i) > value(most))) most = i;
        return most < 0 ? Figure.None(unit, "it was not measured") : Figure.Of(value(most), unit, double.IsFinite(uncertainty(most)) ? uncertainty(most) : null);
    }

    // Both factors share the rig's gain, so that their errors may add up: taken as fully correlated, which is the larger (JCGM 100:2008, 5.2.2, note 1).
    private static double OfPower(double volts, double voltsUncertainty, double amps, double ampsUncertainty) => Math.Abs(amps) * voltsUncertainty + Math.Abs(volts) * ampsUncertainty;

    private static double At(double[] column, int i) => i < column.Length ? column[i] : double.NaN;
}
