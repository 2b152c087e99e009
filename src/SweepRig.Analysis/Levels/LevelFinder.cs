using SweepRig.Analysis.Smoothing;
using SweepRig.Domain.Measurement;
using SweepRig.Domain.Runs;
using SweepRig.Domain.Tubes;

namespace SweepRig.Analysis.Levels;

/// <summary>
/// Reads the levels off one transfer curve, in whichever direction it was swept. Nothing is extrapolated, save small grid currents by their law, and nothing is read across missing
/// points: a quantity that the curve does not hold is absent, with the reason. Pure.
/// </summary>
public static class LevelFinder
{
    /// <summary>Fewest usable points of a curve that says anything.</summary>
    public const int LeastPoints = 5;

    /// <param name="curve">One pass.</param>
    /// <param name="connection">How the tube was wired.</param>
    /// <param name="options">Stated currents and floors.</param>
    /// <param name="known">What the calibration that the curve was made with leaves unknown: it enters every figure, and a nominal one is marked.</param>
    public static CurveLevels Find(Curve curve, Connection connection, LevelOptions options, MeasurementUncertainty known)
    {
        ArgumentNullException.ThrowIfNull(curve);
        ArgumentNullException.ThrowIfNull(connection);
        ArgumentNullException.ThrowIfNull(options);
        ArgumentNullException.ThrowIfNull(known);
        var reading = new CurveReading(curve, connection, options, known);
        if (reading.Trace.Count < LeastPoints) return TooFew(curve.Pass, reading.Trace);

        var switching = SwitchingPoint.Find(reading);
        var (low, high) = UnityGain.Find(reading, switching);
        var highest = OutputRange.Extreme(reading, +1);
        var lowest = OutputRange.Extreme(reading, -1);
        var (depth, onset, slope) = OutputRange.FoldBack(reading, lowest);
        var (cutOff, cutOffOfFull) = CurrentLevels.CutOff(reading, lowest);
        var (gridOnset, gridOnsetUpper) = CurrentLevels.GridOnset(reading);
        return new(curve.Pass)
        {
            HighestOutput = OutputRange.Show(reading, highest, +1),
            LowestOutput = OutputRange.Show(reading, lowest, -1),
            SwitchingDrive = switching.Drive,
            SwitchingOutput = switching.Output,
            SwitchingGain = switching.Gain,
            UnityGainLow = low.Drive,
            UnityGainHigh = high.Drive,
            OutputAtUnityLow = low.Output,
            OutputAtUnityHigh = high.Output,
            TransitionWidth = Difference(reading, high.DriveValue, high.Drive, low.DriveValue, low.Drive),
            CutOffDrive = cutOff,
            CutOffDriveOfFull = cutOffOfFull,
            GridCurrentOnset = gridOnset,
            GridCurrentOnsetUpper = gridOnsetUpper,
            CathodeTemperature = CathodeTemperature.Of(reading),
            InputCurrentAtHigh = CurrentLevels.InputAtHigh(reading, highest),
            FoldBackDepth = depth,
            DriveAtMinimum = onset,
            FoldBackSlope = slope,
            SaturatedResistance = CurrentLevels.SaturatedResistance(reading, lowest),
            PlateCurrentAtZero = ReferenceLevels.PlateCurrent(reading),
            GridCurrentAtZero = ReferenceLevels.GridCurrent(reading),
            Supply = ReferenceLevels.Supply(reading),
            MarginLow = Difference(reading, low.DriveValue, low.Drive, high.OutputValue, high.Output),
            MarginHigh = Difference(reading, low.OutputValue, low.Output, high.DriveValue, high.Drive),
        };
    }

    /// <summary>Difference of two levels, with what the calibration does to both.</summary>
    private static Figure Difference(CurveReading reading, LevelValue? a, Figure shownA, LevelValue? b, Figure shownB)
    {
        if (a is null || b is null) return Figure.None("V", shownA.AbsentBecause ?? shownB.AbsentBecause ?? "one of the two levels does not exist");
        return reading.Show(new(
            a.Value - b.Value, "V", Smoother.Hypot(a.Scatter, b.Scatter), Math.Min(a.First, b.First), Math.Max(a.Last, b.Last),
            [.. a.Systematic, .. b.Systematic.Select(t => t with { Sensitivity = -t.Sensitivity })])
        {
            HalfWidth = Smoother.Hypot(a.HalfWidth, b.HalfWidth),
            Mark = a.Mark ?? b.Mark,
        });
    }

    private static CurveLevels TooFew(PassHeader pass, Trace trace)
    {
        var why = trace.Clipped > 0 ? $": {trace.Clipped} had a channel at the end of its converter's range, {CurveReading.NotClipped}" : ", better 64 or more";
        Figure None(string unit) => Figure.None(unit, $"only {trace.Count} usable points; at least {LeastPoints} are needed{why}");
        var volts = None("V");
        return new(pass)
        {
            HighestOutput = volts, LowestOutput = volts, SwitchingDrive = volts, SwitchingOutput = volts, SwitchingGain = None("1"), UnityGainLow = volts, UnityGainHigh = volts,
            OutputAtUnityLow = volts, OutputAtUnityHigh = volts, TransitionWidth = volts, CutOffDrive = volts, CutOffDriveOfFull = volts, GridCurrentOnset = volts,
            GridCurrentOnsetUpper = volts, CathodeTemperature = None("K"), InputCurrentAtHigh = None("A"), FoldBackDepth = volts, DriveAtMinimum = volts, FoldBackSlope = None("1"), SaturatedResistance = None("Ω"),
            PlateCurrentAtZero = None("A"), GridCurrentAtZero = None("A"), Supply = volts, MarginLow = volts, MarginHigh = volts,
        };
    }
}
