using SweepRig.Domain.Rigs;
using SweepRig.Domain.Runs;
using SweepRig.Domain.Tubes;

namespace SweepRig.Analysis.Levels;

/// <summary>
/// Reads the levels off one transfer curve, in whichever direction it was swept. Nothing is extrapolated and nothing is read across missing points: a
/// quantity that the curve does not hold is absent, with the reason. Pure.
/// </summary>
public static class LevelFinder
{
    /// <summary>Fewest usable points of a curve that says anything.</summary>
    public const int LeastPoints = 5;

    /// <param name="curve">One pass.</param>
    /// <param name="connection">How the tube was wired.</param>
    /// <param name="options">Stated currents and floors.</param>
    /// <param name="calibration">That the curve was made with: its uncertainty enters every figure, and a nominal one is marked.</param>
    public static CurveLevels Find(Curve curve, Connection connection, LevelOptions options, RigCalibration calibration)
    {
        ArgumentNullException.ThrowIfNull(curve);
        ArgumentNullException.ThrowIfNull(connection);
        ArgumentNullException.ThrowIfNull(options);
        ArgumentNullException.ThrowIfNull(calibration);
        var reading = new CurveReading(curve, connection, options, calibration);
        if (reading.Trace.Count < LeastPoints) return TooFew(curve.Pass, reading.Trace.Count);

        var switching = SwitchingPoint.Find(reading);
        var (unityLow, unityHigh) = UnityGain.Find(reading, switching);
        var (depth, atMinimum) = OutputRange.FoldBack(reading);
        return new(
            curve.Pass,
            OutputRange.Highest(reading),
            OutputRange.Lowest(reading),
            switching.Drive,
            switching.Output,
            switching.Gain,
            unityLow,
            unityHigh,
            CurrentLevels.CutOff(reading),
            CurrentLevels.GridOnset(reading),
            depth,
            atMinimum);
    }

    private static CurveLevels TooFew(PassHeader pass, int points)
    {
        var volts = Figure.None("V", $"only {points} usable points; at least {LeastPoints} are needed");
        return new(pass, volts, volts, volts, volts, volts with { Unit = "1" }, volts, volts, volts, volts, volts, volts);
    }
}
