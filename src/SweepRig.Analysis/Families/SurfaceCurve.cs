using SweepRig.Domain.Runs;

namespace SweepRig.Analysis.Families;

/// <summary>All passes at one rail and plate resistor, as one curve over the drive. Nothing is read across missing points.</summary>
internal sealed class SurfaceCurve
{
    private readonly IReadOnlyList<Strand> _passes;

    private SurfaceCurve(IReadOnlyList<Strand> passes, double plateOhms) => (_passes, PlateOhms) = (passes, plateOhms);

    public double PlateOhms { get; }

    /// <summary>Drives of the first pass, ascending. Unit: V.</summary>
    public IReadOnlyList<double> Drives => _passes[0].Drive;

    /// <summary>Null when no pass holds enough points.</summary>
    public static SurfaceCurve? Of(IEnumerable<Curve> passes, double plateOhms)
    {
        var strands = passes.Select(Strand.Of).Where(s => s.Drive.Length >= 4).ToList();
        return strands.Count == 0 ? null : new(strands, plateOhms);
    }

    /// <summary>Mean of the passes at a drive; null where none reaches or points are missing.</summary>
    public Reading? At(double drive)
    {
        var found = _passes.Select(p => p.At(drive)).OfType<Reading>().ToList();
        if (found.Count == 0) return null;
        // Up and down differ by drift and settling, which averaging does not take out: half the range, rectangular.
        return new(
            found.Average(r => r.Plate), found.Average(r => r.Current), found.Average(r => r.Grid),
            Math.Sqrt(Square(found.Max(r => r.PlateUncertainty)) + Square((found.Max(r => r.Plate) - found.Min(r => r.Plate)) / 2) / 3),
            Math.Sqrt(Square(found.Max(r => r.CurrentUncertainty)) + Square((found.Max(r => r.Current) - found.Min(r => r.Current)) / 2) / 3));
    }

    private static double Square(double x) => x * x;

    /// <param name="Plate">Unit: V.</param>
    /// <param name="Current">Through the plate resistor. Unit: A.</param>
    /// <param name="Grid">At the pin. Unit: V.</param>
    public readonly record struct Reading(double Plate, double Current, double Grid, double PlateUncertainty, double CurrentUncertainty);

    private sealed record Strand(double[] Drive, double[] Plate, double[] Current, double[] Grid, double[] PlateUncertainty, double[] CurrentUncertainty, double LargestStep)
    {
        public static Strand Of(Curve curve)
        {
            var order = Enumerable.Range(0, curve.Count)
                .Where(i => double.IsFinite(curve.Drive[i] + curve.Plate[i] + curve.PlateCurrent[i] + curve.Grid[i]))
                .Where(i => !curve.Flags[i].HasFlag(SampleFlags.Clipped))
                .OrderBy(i => curve.Drive[i])
                .ToArray();
            double[] Pick(double[] column) => column.Length == 0 ? new double[order.Length] : Array.ConvertAll(order, i => double.IsFinite(column[i]) ? column[i] : 0);
            var drive = Pick(curve.Drive);
            // As planned; a wider step in the drive is a gap.
            var step = curve.Count > 1 && drive.Length > 1 ? drive.Zip(drive.Skip(1), (a, b) => b - a).Order().ElementAt(drive.Length / 2) : 0;
            return new(drive, Pick(curve.Plate), Pick(curve.PlateCurrent), Pick(curve.Grid), Pick(curve.PlateUncertainty), Pick(curve.PlateCurrentUncertainty), 1.5 * step);
        }

        public Reading? At(double drive)
        {
            const double same = 1e-6;
            var right = Array.BinarySearch(Drive, drive - same);
            if (right < 0) right = ~right;
            if (right == Drive.Length) return null;
            if (Math.Abs(Drive[right] - drive) <= same)
                return new(Plate[right], Current[right], Grid[right], PlateUncertainty[right], CurrentUncertainty[right]);
            if (right == 0 || Drive[right] - Drive[right - 1] > LargestStep) return null;
            var first = Math.Clamp(right - 2, 0, Drive.Length - 4);
            // A cubic through four neighbours where they are neighbours; the straight line where a gap is near. Their difference is doubt.
            var whole = Drive[first + 3] - Drive[first] <= 3 * LargestStep;
            var (plate, doubtPlate) = Between(Plate, right, first, drive, whole);
            var (current, doubtCurrent) = Between(Current, right, first, drive, whole);
            return new(
                plate, current, Between(Grid, right, first, drive, whole).Value,
                Math.Sqrt(Square(Math.Max(PlateUncertainty[right - 1], PlateUncertainty[right])) + Square(doubtPlate)),
                Math.Sqrt(Square(Math.Max(CurrentUncertainty[right - 1], CurrentUncertainty[right])) + Square(doubtCurrent)));
        }

        private (double Value, double Doubt) Between(double[] column, int right, int first, double drive, bool whole)
        {
            var t = (drive - Drive[right - 1]) / (Drive[right] - Drive[right - 1]);
            var line = column[right - 1] + t * (column[right] - column[right - 1]);
            if (!whole) return (line, Math.Abs(column[right] - column[right - 1]) / Math.Sqrt(12));
            var cubic = 0.0;
            for (var i = first; i < first + 4; i++)
            {
                var weight = 1.0;
                for (var j = first; j < first + 4; j++)
                    if (j != i) weight *= (drive - Drive[j]) / (Drive[i] - Drive[j]);
                cubic += weight * column[i];
            }
            return (cubic, Math.Abs(cubic - line) / Math.Sqrt(12));
        }
    }
}
