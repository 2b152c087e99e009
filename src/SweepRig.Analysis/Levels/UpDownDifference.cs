using SweepRig.Analysis.Smoothing;
using SweepRig.Domain.Rigs;
using SweepRig.Domain.Runs;
using SweepRig.Domain.Tubes;

namespace SweepRig.Analysis.Levels;

/// <summary>How far the output of an up pass and that of the down pass beside it lie apart at the same drive.</summary>
internal static class UpDownDifference
{
    public static Figure Find(IReadOnlyList<Curve> curves, Connection connection, LevelOptions options, RigCalibration calibration)
    {
        var largest = Figure.None("V", "the run has no up pass and down pass over the same drives");
        foreach (var up in curves.Where(c => c.Pass.Direction == PassDirection.Up))
        {
            var down = curves.FirstOrDefault(c => c.Pass.Direction == PassDirection.Down && c.Pass.Repeat == up.Pass.Repeat &&
                Nullable.Equals(c.Pass.SecondSourceVolts, up.Pass.SecondSourceVolts));
            if (down is null) continue;
            var difference = Between(up, down, connection, options, calibration);
            if (difference.Value is { } value && (largest.Value is not { } so || value > so)) largest = difference;
        }
        return largest;
    }

    private static Figure Between(Curve up, Curve down, Connection connection, LevelOptions options, RigCalibration calibration)
    {
        var other = Trace.Of(down, down.Plate);
        var apart = new double[up.Count];
        for (var i = 0; i < apart.Length; i++) apart[i] = up.Plate[i] - Interpolated(other, up.Drive[i]);
        // The difference is a curve of its own over the drives of the up pass; flags of both passes count.
        var reading = new CurveReading(up with { Plate = apart }, connection, options, calibration);
        if (reading.Trace.Count < LevelFinder.LeastPoints) return Figure.None("V", $"up and down pass share only {reading.Trace.Count} drives");
        var (_, estimate, _) = Extreme.Of(reading.Output, Math.Abs);
        estimate = estimate with { Value = Math.Abs(estimate.Value) };
        // Four, where one place would ask for two or three: the largest of all places was taken.
        return reading.OutputDifference(estimate, estimate.Value <= 4 * estimate.Sigma ? "no more than the noise" : null);
    }

    /// <summary>Reading of the trace at a drive, on the line between its neighbours; NaN outside it and in its gaps.</summary>
    private static double Interpolated(Trace trace, double drive)
    {
        if (!double.IsFinite(drive)) return double.NaN;
        var found = Array.BinarySearch(trace.X, drive);
        if (found >= 0) return trace.Y[found];
        var above = ~found;
        if (above == 0 || above == trace.Count || trace.GapBefore(above)) return double.NaN;
        var part = (drive - trace.X[above - 1]) / (trace.X[above] - trace.X[above - 1]);
        return trace.Y[above - 1] + part * (trace.Y[above] - trace.Y[above - 1]);
    }
}
