using SweepRig.Analysis;

namespace SweepRig.Service.Contract;

/// <summary>The tubes of a lot in pairs.</summary>
/// <param name="Pairs">Nearest first.</param>
/// <param name="LeftOver">Null when their number is even.</param>
/// <param name="Total">Sum of the distances.</param>
/// <param name="Bound">No pairing has a smaller sum; of those with as good a worst pair, when that was asked for.</param>
/// <param name="ProvenBest">True when it is proven that no such pairing has a smaller sum.</param>
/// <param name="Worst">Distance of the pair that is least alike.</param>
/// <param name="WorstProven">True when the worst pair was asked to be as good as can be, and is proven so.</param>
/// <param name="Scale">What a distance means.</param>
/// <param name="NotMeasured">Tubes that lack a quantity.</param>
/// <param name="Remarks">What speaks against comparing these tubes, such as sweeps in different circuits.</param>
public sealed record PairingView(
    PairView[] Pairs, string? LeftOver, double Total, double Bound, bool ProvenBest, double Worst, bool WorstProven, string Scale, string[] NotMeasured, string[] Remarks);

/// <param name="Distance">Root mean square of the differences over their tolerances or uncertainties.</param>
/// <param name="Says">What the distance comes from, for people.</param>
public sealed record PairView(string First, string Second, double Distance, string Says, PairDifferenceView[] By);

/// <param name="First">Of the first tube.</param>
/// <param name="Second">Of the second.</param>
/// <param name="Difference">First less second.</param>
/// <param name="Part">Of the squared distance that this difference makes, 0 to 1; null where whole curves were compared.</param>
public sealed record PairDifferenceView(string Quantity, Figure First, Figure Second, Figure Difference, double? Part);

/// <summary>The tubes of a lot in groups.</summary>
/// <param name="Groups">Nearest first.</param>
/// <param name="LeftOver">Tubes that make no whole group.</param>
/// <param name="Total">Sum of the distances of all pairs within groups.</param>
/// <param name="Bound">No grouping has a smaller sum.</param>
/// <param name="ProvenBest">True when it is proven that no grouping has a smaller sum.</param>
public sealed record GroupingView(TubeGroupView[] Groups, string[] LeftOver, double Total, double Bound, bool ProvenBest, string Scale, string[] NotMeasured, string[] Remarks);

/// <param name="Sum">Of the distances of all its pairs.</param>
/// <param name="Worst">The largest of them.</param>
/// <param name="Says">What the largest comes from, for people.</param>
public sealed record TubeGroupView(string[] Tubes, double Sum, double Worst, string Says);

/// <summary>Tubes that could replace another.</summary>
/// <param name="Tube">The one to be replaced.</param>
/// <param name="Kept">What a spare has to keep.</param>
/// <param name="Spares">Sure ones first, then undecided ones by their probability, then those that break a limit.</param>
/// <param name="NotMeasured">Free tubes of the type that lack a quantity.</param>
/// <param name="Remarks">What speaks against comparing these tubes.</param>
public sealed record SparesView(string Tube, string? Type, KeptQuantityView[] Kept, SpareView[] Spares, string[] NotMeasured, string[] Remarks);

/// <param name="Own">Of the tube to be replaced.</param>
/// <param name="Lowest">Null for none; its own value less the tolerance where there is one.</param>
/// <param name="Highest">Null for none.</param>
/// <param name="Tolerance">Null where limits were given.</param>
public sealed record KeptQuantityView(QuantityView Quantity, Figure Own, double? Lowest, double? Highest, double? Tolerance);

/// <param name="Decision">accept, undecided or reject, by guarded limits.</param>
/// <param name="Probably">Probability that all is kept, if errors of different quantities were independent; null where an uncertainty is missing.</param>
/// <param name="AtLeast">It is at least this.</param>
/// <param name="AtMost">It is at most this.</param>
/// <param name="Distance">0 in the middle of what is allowed, 1 at its end; null where a limit has one side.</param>
/// <param name="Figures">Its own, in the order of what is kept.</param>
/// <param name="Says">What stands in the way, or what comes nearest to a limit.</param>
public sealed record SpareView(
    string Tube, string Lot, string? Location, string State, string? Grade, [property: OneOf("accept", "undecided", "reject")] string Decision,
    double? Probably, double? AtLeast, double? AtMost, double? Distance, Figure[] Figures, string[] Says);

/// <summary>One quantity of a tube, measured again and again.</summary>
/// <param name="Points">The oldest first.</param>
/// <param name="Individuals">Control chart of single values and moving ranges; null for fewer than 2 measurements.</param>
/// <param name="Average">Control chart of the exponentially weighted moving average; null as above, and where all values are equal.</param>
/// <param name="Baseline">Measurements, the first, that centres and limits are made from.</param>
/// <param name="Changed">True when the newest value differs from the first by more than the measurements can be wrong.</param>
/// <param name="Says">What the charts say, and what they cannot.</param>
/// <param name="LeftOut">Measurements in another circuit or without a value, with the reason.</param>
public sealed record DriftView(
    string Tube, QuantityView Quantity, DriftPointView[] Points, IndividualsView? Individuals, MovingAverageView? Average, int Baseline, bool Changed, string[] Says, DriftLeftOutView[] LeftOut);

/// <param name="Run">Id of the run, or of the first run of the screening.</param>
/// <param name="Change">From the first; null for the first.</param>
/// <param name="OverUncertainty">Change over its expanded uncertainty; beyond 1 either way it is flagged. Null where an uncertainty is missing.</param>
/// <param name="Range">From the value before; null for the first.</param>
/// <param name="Average">Exponentially weighted moving average; null where there is none.</param>
/// <param name="Flags">What is out of the ordinary: change, value, range, average.</param>
public sealed record DriftPointView(string Run, DateTimeOffset StartedUtc, Figure Value, Figure? Change, double? OverUncertainty, double? Range, double? Average, string[] Flags);

public sealed record IndividualsView(double Centre, double Lower, double Upper, double MeanRange, double UpperRange);

/// <param name="Weight">Of the newest value.</param>
public sealed record MovingAverageView(double Weight, double Lower, double Upper);

public sealed record DriftLeftOutView(string Run, DateTimeOffset StartedUtc, string Because);
