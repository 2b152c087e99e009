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

    /// <summary>One value less another, with the uncertainty of both; absent where one is, with its reason.</summary>
    public static Figure Difference(Figure one, Figure other)
    {
        ArgumentNullException.ThrowIfNull(one);
        ArgumentNullException.ThrowIfNull(other);
        if (one.Value is not { } a) return one;
        if (other.Value is not { } b) return other;
        if (one.Uncertainty is not { } ua || other.Uncertainty is not { } ub) return Figure.Of(a - b, one.Unit, null);
        var u = Math.Sqrt(Square(ua) + Square(ub));
        var expanded = Math.Sqrt(Square(one.ExpandedUncertainty!.Value) + Square(other.ExpandedUncertainty!.Value));
        return Figure.Of(a - b, one.Unit, u) with { CoverageFactor = u > 0 ? expanded / u : 2 };
    }

    /// <summary>What the distance of two tubes is made of: for each quantity the difference in its unit, and the part of the squared distance that it makes (0 to 1).</summary>
    /// <returns>In the order of <paramref name="by"/>; parts are 0 for tubes that are alike.</returns>
    /// <exception cref="ArgumentException">The two have no distance.</exception>
    public static IReadOnlyList<(MatchQuantity Of, Figure Difference, double Part)> Explain(
        IReadOnlyList<MatchQuantity> by, IReadOnlyDictionary<string, Figure> one, IReadOnlyDictionary<string, Figure> other)
    {
        if (Distance(by, one, other) is not { } distance) throw new ArgumentException("A quantity is missing; these two have no distance.", nameof(by));
        return
        [
            .. by.Select(q =>
            {
                var difference = Difference(one[q.Quantity], other[q.Quantity]);
                var scale = q.Tolerance ?? Math.Sqrt(Square(one[q.Quantity].Uncertainty ?? 0) + Square(other[q.Quantity].Uncertainty ?? 0));
                return (q, difference, distance == 0 ? 0 : Square(difference.Value!.Value / scale) / (by.Count * Square(distance)));
            }),
        ];
    }

    private static double Square(double x) => x * x;
}
