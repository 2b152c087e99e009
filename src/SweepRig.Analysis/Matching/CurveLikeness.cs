using SweepRig.Domain.Runs;

namespace SweepRig.Analysis.Matching;

/// <summary>A curve read at the drives that it is compared at.</summary>
/// <param name="Output">Plate voltage at each, volts.</param>
/// <param name="Uncertainty">Standard uncertainty of each, volts, that of the drive included.</param>
public sealed record CurveOnGrid(IReadOnlyList<double> Output, IReadOnlyList<double> Uncertainty);

/// <summary>How unlike whole curves are.</summary>
/// <param name="Drives">Where they are compared, volts, evenly over the part that all have.</param>
/// <param name="Tolerance">The difference that counts as 1, volts, above 0; null for the standard uncertainty of the difference at each drive.</param>
public sealed record CurveLikeness(IReadOnlyList<double> Drives, double? Tolerance)
{
    /// <summary>Drives compared: as fine as the levels of a curve ask for, and few enough for thousands of tubes.</summary>
    private const int Points = 101;

    /// <summary>Over the drives that every curve covers.</summary>
    /// <param name="curves">1 or more, each readable (<see cref="CanRead"/>).</param>
    /// <param name="tolerance">See <see cref="Tolerance"/>.</param>
    /// <returns>Null where some curves have no drive in common with the others.</returns>
    public static CurveLikeness? Of(IReadOnlyList<Curve> curves, double? tolerance)
    {
        ArgumentNullException.ThrowIfNull(curves);
        var from = curves.Max(c => Whole(c).Min(i => c.Drive[i]));
        var to = curves.Min(c => Whole(c).Max(i => c.Drive[i]));
        return from < to ? new([.. Enumerable.Range(0, Points).Select(k => from + k * (to - from) / (Points - 1))], tolerance) : null;
    }

    /// <summary>A curve at these drives, straight lines between its points; missing points are bridged.</summary>
    public CurveOnGrid Read(Curve curve)
    {
        ArgumentNullException.ThrowIfNull(curve);
        int[] order = [.. Whole(curve).OrderBy(i => curve.Drive[i])];
        var (output, uncertainty) = (new double[Drives.Count], new double[Drives.Count]);
        for (int k = 0, above = 1; k < Drives.Count; k++)
        {
            while (above < order.Length - 1 && curve.Drive[order[above]] < Drives[k]) above++;
            var (a, b) = (order[above - 1], order[above]);
            var width = curve.Drive[b] - curve.Drive[a];
            var part = width > 0 ? Math.Clamp((Drives[k] - curve.Drive[a]) / width, 0, 1) : 0;
            output[k] = curve.Plate[a] + part * (curve.Plate[b] - curve.Plate[a]);
            var slope = width > 0 ? (curve.Plate[b] - curve.Plate[a]) / width : 0;
            var reading = curve.PlateUncertainty[a] + part * (curve.PlateUncertainty[b] - curve.PlateUncertainty[a]);
            var drive = curve.DriveUncertainty.Length > 0 ? slope * curve.DriveUncertainty[a] : 0;
            uncertainty[k] = Math.Sqrt(reading * reading + drive * drive);
        }
        return new(output, uncertainty);
    }

    /// <summary>Root mean square over the drives of the difference of the outputs, each over its tolerance or uncertainty. Dimensionless, 0 for curves that are alike.</summary>
    /// <exception cref="ArgumentException">There is neither tolerance nor uncertainty.</exception>
    public double Distance(CurveOnGrid one, CurveOnGrid other)
    {
        ArgumentNullException.ThrowIfNull(one);
        ArgumentNullException.ThrowIfNull(other);
        double sum = 0;
        for (var k = 0; k < Drives.Count; k++) sum += Scaled(one, other, k) is var z ? z * z : 0;
        return Math.Sqrt(sum / Drives.Count);
    }

    /// <summary>Whether a curve has two points or more.</summary>
    public static bool CanRead(Curve curve)
    {
        ArgumentNullException.ThrowIfNull(curve);
        return Whole(curve).Take(2).Count() == 2;
    }

    /// <summary>Where the two differ most, in their scale: the place among the drives, the drive, and the difference of the outputs there.</summary>
    public (int Place, double Drive, Figure Difference) Farthest(CurveOnGrid one, CurveOnGrid other)
    {
        ArgumentNullException.ThrowIfNull(one);
        ArgumentNullException.ThrowIfNull(other);
        var at = Enumerable.Range(0, Drives.Count).MaxBy(k => Math.Abs(Scaled(one, other, k)));
        var u = Math.Sqrt(one.Uncertainty[at] * one.Uncertainty[at] + other.Uncertainty[at] * other.Uncertainty[at]);
        return (at, Drives[at], Figure.Of(one.Output[at] - other.Output[at], "V", u));
    }

    private double Scaled(CurveOnGrid one, CurveOnGrid other, int k)
    {
        var scale = Tolerance ?? Math.Sqrt(one.Uncertainty[k] * one.Uncertainty[k] + other.Uncertainty[k] * other.Uncertainty[k]);
        if (!(scale > 0)) throw new ArgumentException("The curves have no uncertainty; give a tolerance.", nameof(one));
        return (one.Output[k] - other.Output[k]) / scale;
    }

    private static IEnumerable<int> Whole(Curve curve) => Enumerable.Range(0, curve.Count).Where(i => double.IsFinite(curve.Drive[i]) && double.IsFinite(curve.Plate[i]));
}
