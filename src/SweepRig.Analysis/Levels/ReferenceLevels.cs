using SweepRig.Analysis.Smoothing;
using SweepRig.Domain.Measurement;

namespace SweepRig.Analysis.Levels;

/// <summary>
/// What a sweep shows at 0 V drive, which sweeps below 0 V end at and all others pass, and the rail that it was made with: by these a tube and its bench are followed from
/// sweep to sweep. What the heater draws no rig measures; a heater that fades shows in the plate current.
/// </summary>
internal static class ReferenceLevels
{
    /// <summary>A drive so near to 0 V counts as there: half a step of 10 bits over 40 V.</summary>
    private const double Reach = 0.02;

    public static Figure PlateCurrent(CurveReading reading) => AtZero(reading, reading.PlateCurrent, MeasuredCurrent.Plate, "plate");

    public static Figure GridCurrent(CurveReading reading) => AtZero(reading, reading.GridCurrent, MeasuredCurrent.Grid, "grid");

    /// <summary>Mean over the sweep.</summary>
    public static Figure Supply(CurveReading reading)
    {
        double[] volts = [.. reading.Curve.Supply.Where(double.IsFinite)];
        if (volts.Length < LevelFinder.LeastPoints) return Figure.None("V", "the plate rail was not measured");
        var mean = volts.Average();
        var scatter = Math.Sqrt(volts.Sum(v => (v - mean) * (v - mean)) / (volts.Length - 1) / volts.Length);
        return reading.Show(new(mean, "V", scatter, -1, -1, InputQuantity.Voltage(VoltagePlace.Supply, mean).Times(1)));
    }

    private static Figure AtZero(CurveReading reading, Smoother current, MeasuredCurrent which, string electrode)
    {
        var trace = current.Trace;
        if (trace.Count < LevelFinder.LeastPoints) return Figure.None("A", $"the {electrode} current was not measured");
        if (trace.X[^1] < -Reach) return Figure.None("A", $"the drive ends at {CurveReading.Volts(trace.X[^1])}; sweep up to 0 V to see it");
        if (trace.X[0] > Reach) return Figure.None("A", $"the drive begins at {CurveReading.Volts(trace.X[0])}; sweep from 0 V or below to see it");
        var at = trace.Nearest(0);
        var right = trace.X[at] < 0 ? at + 1 : at;
        if (right > 0 && right < trace.Count && trace.X[right] > 0 && trace.GapBefore(right)) return Figure.None("A", CurveReading.InGap(trace, right));
        var amps = current.Value(at, 0);
        var slope = current.Slope(at) is { Exists: true } steep ? steep.Value : 0;
        return reading.Show(new(amps.Value, "A", amps.Sigma, amps.First, amps.Last, [.. reading.CurrentTerms(which, trace, at, 1), CurveReading.DriveTerm(0, -slope)]));
    }
}
