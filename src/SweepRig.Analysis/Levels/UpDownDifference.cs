using SweepRig.Analysis.Smoothing;
using SweepRig.Domain.Measurement;
using SweepRig.Domain.Runs;
using SweepRig.Domain.Tubes;

namespace SweepRig.Analysis.Levels;

/// <summary>How far the output of an up pass and that of the down pass beside it lie apart at the same drive.</summary>
internal static class UpDownDifference
{
    public static Figure Find(IReadOnlyList<Curve> curves, Connection connection, LevelOptions options, MeasurementUncertainty known)
    {
        var largest = Figure.None("V", "the run has no up pass and down pass over the same drives");
        foreach (var up in curves.Where(c => c.Pass.Direction == PassDirection.Up))
        {
            var down = curves.FirstOrDefault(c => c.Pass.Direction == PassDirection.Down && c.Pass.Repeat == up.Pass.Repeat &&
                Nullable.Equals(c.Pass.SecondSourceVolts, up.Pass.SecondSourceVolts));
            if (down is null) continue;
            var difference = Between(up, down, connection, options, known);
            if (difference.Value is { } value && (largest.Value is not { } so || value > so)) largest = difference;
        }
        return largest;
    }

    private static Figure Between(Curve up, Curve down, Connection connection, LevelOptions options, MeasurementUncertainty known)
    {
        var other = Trace.Of(down, down.Plate);
        var apart = new double[up.Count];
        for (var i = 0; i < apart.Length; i++) apart[i] = up.Plate[i] - Interpolated(other, up.Drive[i]);
        // The difference is a curve of its own over the drives of the up pass; flags of both passes count.
        var reading = new CurveReading(up with { Plate = apart, PlateUncertainty = [] }, connection, options, known);
        if (reading.Trace.Count < LevelFinder.LeastPoints) return Figure.None("V", $"up and down pass share only {reading.Trace.Count} drives");
        var values = reading.Pilot.Values;
        var at = 0;
        for (var i = 1; i < values.Length; i++)
        {
            if (Math.Abs(values[i]) > Math.Abs(values[at])) at = i;
        }
        var (estimate, output) = (reading.Output.Value(at), up.Plate[reading.Trace.Source(at)]);
        var sign = Math.Sign(estimate.Value);
        return reading.Show(new(
            Math.Abs(estimate.Value), "V", estimate.Sigma, estimate.First, estimate.Last,
            CurveReading.PlateTerm(output, sign), CurveReading.PlateTerm(output - estimate.Value, -sign))
        {
            // Four, where one place would ask for two or three: the largest of all places was taken.
            Mark = Math.Abs(estimate.Value) <= 4 * estimate.Sigma ? "no more than the noise" : null,
        });
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
