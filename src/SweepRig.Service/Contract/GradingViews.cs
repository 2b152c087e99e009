namespace SweepRig.Service.Contract;

/// <summary>A quantity that tubes can be graded, matched, replaced and followed by.</summary>
/// <param name="Word">As documents and queries have it, for example <c>pentode.vol</c>.</param>
/// <param name="Unit">SI symbol; <c>1</c> for a ratio.</param>
public sealed record QuantityView(string Word, string Unit, string Meaning);

public sealed record QuantityListView(QuantityView[] Quantities);

/// <summary>How a lot falls under a list of grades.</summary>
/// <param name="Counts">Tubes of each grade, the best first; then those of none, and those undecided about a better one.</param>
/// <param name="Yields">Of each grade, the best first, a tube counting whether or not it gets a better one.</param>
/// <param name="Limits">All limits of all grades, with what each leaves of the lot.</param>
/// <param name="Guard">Width of the guard bands in expanded uncertainties.</param>
/// <param name="Applied">True when the grades now stand in the history of the tubes.</param>
/// <param name="Remarks">What speaks against comparing these tubes, such as sweeps in different circuits.</param>
public sealed record LotGradesView(TubeGradeView[] Tubes, GradeCountView[] Counts, GradeYieldView[] Yields, GradeLimitView[] Limits, double Guard, bool Applied, string[] Remarks);

/// <param name="Grade">Null for none.</param>
/// <param name="Undecided">True when a better grade can be neither given nor denied.</param>
/// <param name="AtLeast">For each grade, best first: the probability that the tube keeps to all of its limits is at least this; null where a value is missing.</param>
/// <param name="Probably">The same if the errors of different quantities were independent.</param>
/// <param name="AtMost">It is at most this.</param>
/// <param name="Reasons">What stood against a better grade.</param>
public sealed record TubeGradeView(string Tube, string? Grade, bool Undecided, double?[] AtLeast, double?[] Probably, double?[] AtMost, string[] Reasons);

public sealed record GradeCountView(string Grade, int Tubes);

/// <param name="Sure">Tubes that keep to all limits, guard band included.</param>
/// <param name="Undecided">Tubes of which the measurement is not sure enough to say.</param>
/// <param name="Denied">Tubes that break a limit, guard band included.</param>
/// <param name="NotMeasured">Tubes that lack a value or its uncertainty; they count in none of the three numbers that follow.</param>
/// <param name="Expected">Tubes whose true values keep to the limits, to be expected: each tube counts with its probability.</param>
/// <param name="AtLeast">Lower bound of that, however errors of different quantities hang together.</param>
/// <param name="AtMost">Upper bound.</param>
public sealed record GradeYieldView(string Grade, int Sure, int Undecided, int Denied, int NotMeasured, double Expected, double AtLeast, double AtMost);

/// <param name="Lowest">Null for none.</param>
/// <param name="Highest">Null for none.</param>
/// <param name="GuardBand">Half of the tubes need no wider one, in the unit; null where no tube has an uncertainty.</param>
public sealed record GradeLimitView(
    string Grade, string Quantity, string Unit, double? Lowest, double? Highest, double? GuardBand, int Accepted, int Undecided, int Rejected, int NotMeasured);

/// <summary>Figures of all tubes of a lot, for plots.</summary>
public sealed record LotFiguresView(string Lot, QuantityView[] Quantities, TubeFiguresView[] Tubes);

/// <param name="Figures">In the order of the quantities.</param>
public sealed record TubeFiguresView(string Tube, string State, string? Grade, Analysis.Figure[] Figures);

/// <summary>How the quantities of a lot are spread.</summary>
/// <param name="Tubes">Those that are not retired.</param>
/// <param name="Remarks">What speaks against comparing these tubes, such as sweeps in different circuits.</param>
public sealed record LotSummaryView(string Lot, int Tubes, QuantitySpreadView[] Quantities, string[] Remarks);

/// <param name="Measured">Tubes that have a value.</param>
/// <param name="Spread">Null where none has.</param>
/// <param name="UsualUncertainty">Median of the standard uncertainties; null where none has one.</param>
/// <param name="Outliers">The farthest first; null where there are too few values, or too many alike, to tell.</param>
/// <param name="Histogram">Null where no tube has a value.</param>
/// <param name="NotMeasured">Tubes without a value.</param>
public sealed record QuantitySpreadView(
    QuantityView Quantity, int Measured, SpreadView? Spread, double? UsualUncertainty, OutlierView[]? Outliers, HistogramView? Histogram, string[] NotMeasured);

/// <param name="RobustDeviation">Median distance from the median, scaled to the standard deviation of a normal distribution; null for one value.</param>
/// <param name="Deviation">Standard deviation of the sample; null for one value.</param>
public sealed record SpreadView(
    double Lowest, double LowerQuartile, double Median, double UpperQuartile, double Highest, double Mean, double? Deviation, double? RobustDeviation);

/// <param name="Score">Modified Z score; beyond 3.5 either way is an outlier.</param>
public sealed record OutlierView(string Tube, double Value, double Score);

/// <param name="Start">Lower edge of the first bin.</param>
/// <param name="Width">Of each bin.</param>
public sealed record HistogramView(double Start, double Width, int[] Counts);
