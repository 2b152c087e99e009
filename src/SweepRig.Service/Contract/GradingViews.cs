namespace SweepRig.Service.Contract;

/// <summary>How a lot falls under a list of grades.</summary>
/// <param name="Counts">Tubes of each grade, the best first; then those of none, and those undecided about a better one.</param>
/// <param name="Applied">True when the grades now stand in the history of the tubes.</param>
public sealed record LotGradesView(TubeGradeView[] Tubes, GradeCountView[] Counts, bool Applied);

/// <param name="Grade">Null for none.</param>
/// <param name="Undecided">True when a better grade can be neither given nor denied.</param>
/// <param name="AtLeast">For each grade, best first: the probability that the tube keeps to all of its limits is at least this.</param>
/// <param name="Reasons">What stood against a better grade.</param>
public sealed record TubeGradeView(string Tube, string? Grade, bool Undecided, double?[] AtLeast, string[] Reasons);

public sealed record GradeCountView(string Grade, int Tubes);
