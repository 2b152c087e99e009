using SweepRig.Analysis;

namespace SweepRig.Service.Contract;

/// <summary>The tubes of a lot in pairs.</summary>
/// <param name="Pairs">Nearest first.</param>
/// <param name="LeftOver">Null when their number is even.</param>
/// <param name="Total">Sum of the distances.</param>
/// <param name="Bound">No pairing has a smaller sum.</param>
/// <param name="ProvenBest">True when it is proven that no pairing is better.</param>
/// <param name="NotMeasured">Tubes that lack a quantity.</param>
public sealed record PairingView(PairView[] Pairs, string? LeftOver, double Total, double Bound, bool ProvenBest, string[] NotMeasured);

/// <param name="Distance">Root mean square of the differences over their tolerances or uncertainties.</param>
public sealed record PairView(string First, string Second, double Distance, PairDifferenceView[] By);

public sealed record PairDifferenceView(string Quantity, Figure First, Figure Second);
