using SweepRig.Analysis.Grading;
using SweepRig.Domain;
using SweepRig.Service.Stock;
using SweepRig.Sweeps.Queue;

namespace SweepRig.Service.Nights;

/// <summary>Limits of a job on what is measured of a tube.</summary>
public static class NightLimitCheck
{
    /// <summary>Words that are no quantity, or one that takes a fit and so belongs to the morning.</summary>
    public static IEnumerable<Refusal> Faults(NightOrder order)
    {
        ArgumentNullException.ThrowIfNull(order);
        for (var job = 0; job < order.Jobs.Count; job++)
        {
            for (var place = 0; place < order.Jobs[job].Limits.Count; place++)
            {
                foreach (var fault in StockQuantities.Find(order.Jobs[job].Limits[place].Quantity, FormattableString.Invariant($"/jobs/{job}/limits/{place}/quantity")).Refusals) yield return fault;
            }
        }
    }

    /// <returns>Why the tube is beyond the limit by more than the uncertainty; null where it is not, or where that cannot be told.</returns>
    public static string? Beyond(LevelLimit limit, TubeFigures found)
    {
        ArgumentNullException.ThrowIfNull(limit);
        ArgumentNullException.ThrowIfNull(found);
        if (!found.Figures.TryGetValue(limit.Quantity, out var figure)) return null;
        var conformity = Conformity.Of(new QuantityLimit(limit.Quantity, figure.Unit, limit.Lowest, limit.Highest), figure);
        return conformity.Decision == Decision.Reject ? conformity.Says : null;
    }
}
