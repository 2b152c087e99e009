namespace SweepRig.Analysis.Matching;

/// <summary>A quantity that tubes are to be alike in.</summary>
/// <param name="Quantity">Its word.</param>
/// <param name="Tolerance">The difference that counts as 1, in the unit of the quantity, above 0; null for the standard uncertainty of the difference.</param>
public sealed record MatchQuantity(string Quantity, double? Tolerance = null);

/// <summary>How unlike two tubes are.</summary>
public static class Likeness
{
    /// <summary>Root mean square of the differences of all quantities, each over its tolerance or over the uncertainty of the difference. Dimensionless, 0 for tubes that are alike.</summary>
    /// <param name="by">One or more.</param>
    /// <param name="one">Figures of a tube, by quantity.</param>
    /// <param name="other">Of the other.</param>
    /// <returns>Null when a quantity is missing, or has neither tolerance nor uncertainty.</returns>
    public static double? Distance(IReadOnlyList<MatchQuantity> by, IReadOnlyDictionary<string, Figure> one, IReadOnlyDictionary<string, Figure> other)
    {
        ArgumentNullException.ThrowIfNull(by);
        ArgumentNullException.ThrowIfNull(one);
        ArgumentNullException.ThrowIfNull(other);
        if (by.Count == 0) throw new ArgumentException("There is no quantity to match by; give one or more.", nameof(by));
        double sum = 0;
        foreach (var (quantity, tolerance) in by)
        {
            if (one.GetValueOrDefault(quantity) is not { Value: { } a } first || other.GetValueOrDefault(quantity) is not { Value: { } b } second) return null;
            var scale = tolerance ?? Math.Sqrt(Square(first.Uncertainty ?? 0) + Square(second.Uncertainty ?? 0));
            if (!(scale > 0)) return null;
            sum += Square((a - b) / scale);
        }
        return Math.Sqrt(sum / by.Count);
    }

    private static double Square(double x) => x * x;
}
