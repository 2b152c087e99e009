using SweepRig.Analysis.Matching;
using SweepRig.Domain;

namespace SweepRig.Service.Stock;

/// <summary>What tubes are to be alike in: chosen quantities, or whole curves.</summary>
/// <param name="By">Null where curves are compared.</param>
/// <param name="Curve">Null where quantities are.</param>
public sealed record MatchChoice(IReadOnlyList<MatchQuantity>? By, CurveChoice? Curve)
{
    /// <summary>What has to be read of the tubes for it.</summary>
    public FigureSources Sources => By is null ? FigureSources.Curves : StockQuantities.SourcesOf(By.Select(q => q.Quantity));

    /// <param name="by">Lists of quantities as typed; null or empty for the usual ones.</param>
    /// <param name="curve">As typed; null to compare quantities.</param>
    public static Outcome<MatchChoice> Of(IReadOnlyList<string>? by, string? curve)
    {
        if (curve is not null)
        {
            if (by is { Count: > 0 })
                return Outcome<MatchChoice>.Refuse(new Refusal("both-asked", "/curve", "both quantities and whole curves are to be compared", "one of them is allowed", "Leave out by or curve."));
            var curves = QuantityLists.Curve(curve, "/curve");
            return curves.Map(c => new MatchChoice(null, c));
        }
        var quantities = QuantityLists.Matched(by is { Count: > 0 } ? by : [LotMatching.Usual], "/by");
        return quantities.Map(q => new MatchChoice(q, null));
    }

    /// <summary>With the tubes of a lot.</summary>
    /// <param name="reading">Read with <see cref="Sources"/>.</param>
    /// <param name="fewest">Tubes needed.</param>
    public Outcome<MatchBasis> Basis(LotReading reading, int fewest) => By is { } by ? MatchBasis.By(reading, by, fewest) : MatchBasis.By(reading, Curve!, fewest);
}
