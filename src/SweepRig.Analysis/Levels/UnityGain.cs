using SweepRig.Analysis.Smoothing;

namespace SweepRig.Analysis.Levels;

/// <summary>
/// Drives at which dVplate/dVdrive = -1, on either side of the steepest fall: the customary VIL and VIH (textbook convention of logic circuits; criticised
/// by Hauser, IEEE Trans. Educ. 36 (1993) 363, as a measure of noise margin).
/// </summary>
internal static class UnityGain
{
    private const double Unity = -1;

    public static (Figure Low, Figure High) Find(CurveReading reading, SwitchingPoint switching)
    {
        if (switching.Left < 0) return (Figure.None("V", switching.Absent!), Figure.None("V", switching.Absent!));
        if (switching.Absent is null && reading.Output.Slope(switching.Left) is { Exists: true } slope && slope.Value > Unity)
        {
            var because = $"the gain never passes -1: the steepest is {CurveReading.Ratio(slope.Value)}";
            return (Figure.None("V", because), Figure.None("V", because));
        }
        return (Search(reading, switching.Left, -1), Search(reading, switching.Right, +1));
    }

    /// <param name="start">A point on the steep part.</param>
    /// <param name="step">-1 to lower drives, +1 to higher ones.</param>
    private static Figure Search(CurveReading reading, int start, int step)
    {
        var trace = reading.Trace;
        var steep = -1;
        for (var i = start; i >= 0 && i < trace.Count; i += step)
        {
            var slope = reading.Output.Slope(i);
            if (!slope.Exists) continue;
            if (slope.Value <= Unity)
            {
                steep = i;
                continue;
            }
            // Nothing steep since the gap that holds the steepest fall: the passage is in there too.
            if (steep < 0) return Figure.None("V", CurveReading.InGap(trace, step < 0 ? start + 1 : start));
            for (var between = Math.Min(i, steep) + 1; between <= Math.Max(i, steep); between++)
            {
                if (trace.GapBefore(between)) return Figure.None("V", CurveReading.InGap(trace, between));
            }
            return Refine(reading, i, steep, step);
        }
        var end = step < 0 ? 0 : trace.Count - 1;
        var which = step < 0 ? "no lower unity-gain point" : "no second unity-gain point";
        var atEnd = reading.Output.Slope(end);
        return Figure.None("V", $"{which} within the drive range: at {CurveReading.Volts(trace.X[end])} the gain is still {CurveReading.Ratio(atEnd.Value)}");
    }

    private static Figure Refine(CurveReading reading, int flat, int steep, int step)
    {
        var trace = reading.Trace;
        var output = reading.Output;
        double flatSlope = output.Slope(flat).Value, steepSlope = output.Slope(steep).Value;
        var part = (Unity - flatSlope) / (steepSlope - flatSlope);
        var between = trace.X[flat] + part * (trace.X[steep] - trace.X[flat]);
        var near = part < 0.5 ? flat : steep;
        var noise = output.NoiseAt(near);
        // Rising drive makes the fall steeper before the switching point and flatter after it.
        var drive = output.At(near, between, 2, (fit, _) => fit.Where(1, Unity, step, noise, 0));
        var grid = Math.Abs(trace.X[steep] - trace.X[flat]);
        if (drive.Exists && Math.Abs(drive.Value - between) <= grid + 3 * drive.Sigma)
        {
            // So few points only bracket the passage: rectangular, a step to either side, GUM 4.3.7.
            var unresolved = drive.LimitedByGrid ? grid / Math.Sqrt(3) : 0;
            return reading.Drive(drive with { Sigma = Smoother.Hypot(drive.Sigma, unresolved) });
        }

        var bend = Math.Abs(steepSlope - flatSlope) / grid;
        var sigma = Smoother.Hypot(Math.Max(output.Slope(flat).Sigma, output.Slope(steep).Sigma) / bend, grid / Math.Sqrt(12));
        return reading.Drive(new(between, sigma, Math.Min(flat, steep), Math.Max(flat, steep)), "the drive steps are wide for this bend");
    }
}
