namespace SweepRig.Analysis.Grading;

/// <summary>A class of tubes.</summary>
/// <param name="Name">1 to 20 characters.</param>
/// <param name="Limits">All of which a tube must keep to.</param>
public sealed record Grade(string Name, IReadOnlyList<QuantityLimit> Limits);

/// <summary>What a tube is given.</summary>
/// <param name="Grade">The best grade whose limits it keeps to; null for none, or undecided.</param>
/// <param name="IsUndecided">True when a better grade than <paramref name="Grade"/> can be neither given nor denied.</param>
/// <param name="AtLeast">For each grade, best first: probability that the tube keeps to all of its limits is at least this; null where a value is missing.</param>
/// <param name="Reasons">What stood against better grades, and what is undecided.</param>
public sealed record GradeGiven(string? Grade, bool IsUndecided, IReadOnlyList<double?> AtLeast, IReadOnlyList<Conformity> Reasons);

/// <summary>Grades from the best to the least, and the guard band that all are given with.</summary>
/// <param name="Grades">Best first.</param>
/// <param name="Guard">In expanded uncertainties, see <see cref="Conformity.Of"/>.</param>
public sealed record GradeScheme(IReadOnlyList<Grade> Grades, double Guard = Conformity.UsualGuard)
{
    /// <summary>The best grade whose every limit is accepted. A limit that is undecided leaves the grade open and the next one is tried.</summary>
    /// <param name="figures">By quantity; one that is missing counts as not measured.</param>
    public GradeGiven Give(IReadOnlyDictionary<string, Figure> figures)
    {
        ArgumentNullException.ThrowIfNull(figures);
        var reasons = new List<Conformity>();
        var chances = new List<double?>();
        string? given = null;
        var open = false;
        foreach (var grade in Grades)
        {
            var judged = grade.Limits.Select(l => Conformity.Of(l, figures.GetValueOrDefault(l.Quantity) ?? Figure.None(l.Unit, "not measured"), Guard)).ToArray();
            chances.Add(AtLeast(judged));
            if (given is not null) continue;
            var against = judged.Where(j => j.Decision != Decision.Accept).ToArray();
            if (against.Length == 0)
            {
                given = grade.Name;
                continue;
            }
            reasons.AddRange(against);
            open |= against.All(j => j.Decision is not Decision.Reject);
        }
        return new(given, open, chances, reasons);
    }

    // Levels of one tube hang together in ways that are not known here; whatever they are, the probability of all is not below this (Bonferroni).
    private static double? AtLeast(IReadOnlyList<Conformity> judged) =>
        judged.Any(j => j.Probability is null) ? null : Math.Max(0, 1 - judged.Sum(j => 1 - j.Probability!.Value));
}
