using SweepRig.Analysis.Smoothing;
using SweepRig.Domain;

namespace SweepRig.Analysis.Levels;

/// <summary>
/// Cut-off and grid-current onset. An uncalibrated rig shows currents of tens of microamperes where none flow, because the two channels on either side
/// of a resistor differ. Its zero is therefore taken from the curve itself, where surely no current flows, and the figure says so.
/// </summary>
internal static class CurrentLevels
{
    /// <summary>Below this drive no small receiving tube draws grid current that matters here: onset lies above -1.3 V (common practice, no source).</summary>
    private const double NoGridCurrentBelow = -2;

    private const int LeastPoints = 5;

    public static Figure CutOff(CurveReading reading)
    {
        var ohms = reading.Connection.PlateResistor.Value;
        var stated = Array.ConvertAll(reading.Curve.PlateUncertainty, u => u / ohms);
        var current = new Smoother(Trace.Of(reading.Curve, reading.Curve.PlateCurrent, stated));
        var threshold = reading.Options.CutOffPlateAmps;
        var rail = reading.Connection.PlateRail.Value;
        var differ = (reading.Calibration.Channels.Count > 0
            ? reading.Calibration.DifferenceUncertainty(RigChannel.Plate, rail, RigChannel.Supply, rail) : 0) / ohms;
        if (reading.Calibration.IsNominal && Plateau(current, 3 * differ) is { Exists: true } plateau)
        {
            return CurrentCrossing.Find(
                reading, current, _ => plateau.Value, Smoother.Hypot(plateau.Sigma, threshold * reading.PlateGainUncertainty), threshold,
                "plate current", "counted from the current shown at the most negative drives");
        }
        return CurrentCrossing.Find(reading, current, static _ => 0, differ, threshold, "plate current", null);
    }

    public static Figure GridOnset(CurveReading reading)
    {
        var current = new Smoother(Trace.Of(reading.Curve, reading.Curve.GridCurrent));
        var threshold = reading.Options.GridOnsetAmps;
        var ohms = reading.Connection.GridStopper.Value;
        var differ = Smoother.Hypot(FitUncertainty(reading, RigChannel.Grid, 0), reading.Calibration.Drive.FitUncertaintyAt(0)) / ohms;
        if (reading.Calibration.IsNominal && Baseline(current.Trace) is { } line)
        {
            return CurrentCrossing.Find(
                reading, current, x => line.Derivative(0, x).Value,
                Smoother.Hypot(current.NoiseAt(0) * Math.Sqrt(line.Derivative(0, 0).Variance), threshold * reading.PlateGainUncertainty), threshold, "grid current", $"counted from the line shown below {CurveReading.Volts(NoGridCurrentBelow)}");
        }
        return CurrentCrossing.Find(reading, current, static _ => 0, differ, threshold, "grid current", null);
    }

    /// <summary>The current shown at the lowest drives, if it is level there and no more than the channels may differ by.</summary>
    private static Estimate Plateau(Smoother current, double most)
    {
        if (current.Trace.Count < LeastPoints) return Estimate.None;
        var slope = current.Slope(0);
        var level = current.At(0, current.Trace.X[0], 0, static (fit, centre) => fit.Derivative(0, centre));
        var isLevel = slope.Exists && Math.Abs(slope.Value) <= 3 * slope.Sigma + 1e-15 && level.Last - level.First + 1 >= LeastPoints;
        return isLevel && Math.Abs(level.Value) <= most ? level : Estimate.None;
    }

    /// <summary>Straight line through the readings where no grid current flows: offset and gain of two channels that differ.</summary>
    private static LocalPolynomial? Baseline(Trace trace)
    {
        var points = Array.FindLastIndex(trace.X, x => x <= NoGridCurrentBelow) + 1;
        return points >= LeastPoints ? LocalPolynomial.Fit(trace, 0, points - 1, 0, 1) : null;
    }

    /// <summary>Without the reference meter's share, which is the same on both sides of a resistor.</summary>
    private static double FitUncertainty(CurveReading reading, RigChannel channel, double volts) =>
        (int)channel < reading.Calibration.Channels.Count ? reading.Calibration.Channels[(int)channel].FitUncertaintyAt(volts) : 0;
}
