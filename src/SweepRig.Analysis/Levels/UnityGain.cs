using SweepRig.Analysis.Smoothing;

namespace SweepRig.Analysis.Levels;

/// <summary>A unity-gain point as figures, and as values for what is reckoned from both.</summary>
internal sealed record UnityPoint(Figure Drive, Figure Output, LevelValue? DriveValue = null, LevelValue? OutputValue = null);

/// <summary>
/// Drives at which dVplate/dVdrive = -1, on either side of the steepest fall: the customary VIL and VIH (textbook convention of logic circuits; criticised
/// by Hauser, IEEE Trans. Educ. 36 (1993) 363, as a measure of noise margin).
/// </summary>
internal static class UnityGain
{
    private const double Unity = -1;

    public static (UnityPoint Low, UnityPoint High) Find(CurveReading reading, SwitchingPoint switching)
    {
        if (switching.Left < 0) return (None(switching.Absent!), None(switching.Absent!));
        if (switching.Absent is null && switching.Gain.Value > Unity)
        {
            var because = $"the gain never passes -1: the steepest is {CurveReading.Ratio(switching.Gain.Value.Value)}";
            return (None(because), None(because));
        }
        return (Search(reading, switching.Left, -1), Search(reading, switching.Right, +1));
    }

    /// <param name="start">A point on the steep part.</param>
    /// <param name="step">-1 to lower drives, +1 to higher ones.</param>
    private static UnityPoint Search(CurveReading reading, int start, int step)
    {
        var trace = reading.Trace;
        var slopes = reading.Pilot.Slopes;
        var steep = -1;
        for (var i = start; i >= 0 && i < trace.Count; i += step)
        {
            if (double.IsNaN(slopes[i])) continue;
            if (slopes[i] <= Unity)
            {
                steep = i;
                continue;
            }
            if (steep < 0)
            {
                var right = step < 0 ? start + 1 : start;
                // A sweep that was broken off may have its steepest fall, of noise alone, at its very end.
                if (right == 0 || right == trace.Count) return None($"nothing beside the steepest fall was measured, which is at {CurveReading.Volts(trace.X[start])}, where the curve ends");
                // Nothing steep since the gap that holds the steepest fall: the passage is in there too.
                return None(CurveReading.InGap(trace, right));
            }
            for (var between = Math.Min(i, steep) + 1; between <= Math.Max(i, steep); between++)
            {
                if (trace.GapBefore(between)) return None(CurveReading.InGap(trace, between));
            }
            return Refine(reading, i, steep, step, start);
        }
        var end = step < 0 ? 0 : trace.Count - 1;
        var which = step < 0 ? "no lower unity-gain point" : "no second unity-gain point";
        return None($"{which} within the drive range: at {CurveReading.Volts(trace.X[end])} the gain is still {CurveReading.Ratio(slopes[end])}");
    }

    private static UnityPoint Refine(CurveReading reading, int flat, int steep, int step, int steepest)
    {
        var trace = reading.Trace;
        var (flatSlope, steepSlope) = (reading.Pilot.Slopes[flat], reading.Pilot.Slopes[steep]);
        var guess = trace.X[flat] + (Unity - flatSlope) / (steepSlope - flatSlope) * (trace.X[steep] - trace.X[flat]);
        // Rising drive makes the fall steeper before the switching point and flatter after it.
        var passage = Feature.Find(
            reading.Output, trace.Nearest(guess), (fit, near) => fit.Where(1, Unity, near) is { } x && step * fit.At(2, x) > 0 ? x : double.NaN, (window, _) => !window.LimitedByGrid, guess: guess);
        if (passage?.ReadDrive() is { Exists: true } drive && drive.Sigma <= passage.Window.Fit.Scale)
            return Point(reading, drive, passage.Read((fit, x) => fit.At(0, x)), 1 / passage.Window.Fit.At(2, passage.Place), 0, null);
        return Between(reading, steepest, step) ?? Wide(reading, flat, steep, step, guess);
    }

    /// <summary>
    /// Between two chords, one steeper and one less steep than -1: by the mean value theorem the passage lies within the two steps that they span. Rectangular, JCGM 100:2008, 4.3.7.
    /// </summary>
    private static UnityPoint? Between(CurveReading reading, int start, int step)
    {
        var trace = reading.Trace;
        for (var i = Math.Clamp(start, 1, trace.Count - 2); i > 0 && i < trace.Count - 1; i += step)
        {
            double Chord(int from, int to) => (trace.Y[to] - trace.Y[from]) / (trace.X[to] - trace.X[from]);
            if (!(step * (trace.X[i] - trace.X[i - step]) > 0) || !(step * (trace.X[i + step] - trace.X[i]) > 0)) return null;
            if (Chord(i, i + step) <= Unity || Chord(i - step, i) > Unity) continue;
            if (trace.GapBefore(i) || trace.GapBefore(i + 1)) return null;
            var half = Math.Max(trace.X[i + 1] - trace.X[i], trace.X[i] - trace.X[i - 1]);
            var bend = (Chord(i, i + 1) - Chord(i - 1, i)) / half;
            var noise = reading.Output.TypicalNoise;
            return Point(
                reading, new(trace.X[i], noise / half / Math.Abs(bend), i - 1, i + 1), new(trace.Y[i], noise, i - 1, i + 1), 1 / bend, half, "the drive steps are wide for this bend");
        }
        return null;
    }

    private static UnityPoint Wide(CurveReading reading, int flat, int steep, int step, double guess)
    {
        var trace = reading.Trace;
        var (flatSlope, steepSlope) = (reading.Pilot.Slopes[flat], reading.Pilot.Slopes[steep]);
        var grid = Math.Abs(trace.X[steep] - trace.X[flat]);
        var bend = (steepSlope - flatSlope) / grid;
        var sigma = Math.Max(reading.Pilot.Sigmas[flat], reading.Pilot.Sigmas[steep]) / Math.Abs(bend);
        var near = reading.Output.Value(trace.Nearest(guess));
        var (first, last) = (Math.Min(flat, steep), Math.Max(flat, steep));
        return Point(reading, new(guess, sigma, first, last), near with { First = first, Last = last }, step / Math.Abs(bend), grid, "the drive steps are wide for this bend");
    }

    /// <param name="perSlope">Change of the drive with the slope that is looked for: one over the second derivative.</param>
    private static UnityPoint Point(CurveReading reading, Estimate drive, Estimate output, double perSlope, double halfWidth, string? mark)
    {
        // Where the true slope is -1, the measured one is -1 - e, with e the relative error of the gains; the output moves by the slope with it.
        var d = new LevelValue(
            drive.Value, "V", drive.Sigma, drive.First, drive.Last,
            [CurveReading.DriveTerm(drive.Value), .. CurveReading.SlopeTerms(drive.Value, output.Value, perSlope)]) { HalfWidth = halfWidth, Mark = mark };
        var o = new LevelValue(
            output.Value, "V", output.Sigma, output.First, output.Last,
            [CurveReading.PlateTerm(output.Value), .. CurveReading.SlopeTerms(drive.Value, output.Value, -perSlope)]) { HalfWidth = halfWidth, Mark = mark, PerPlateVolt = 1 };
        return new(reading.Show(d), reading.Show(o), d, o);
    }

    private static UnityPoint None(string because) => new(Figure.None("V", because), Figure.None("V", because));
}
