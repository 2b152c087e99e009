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
public sealed record GradeGiven(string? Grade, bool IsUndecided, IReadOnlyList<double?> AtLeast, IReadOnlyList<Conformity> Reasons)
{
    /// <summary>For each grade, best first: the tube under its limits, whether or not a better grade is given.</summary>
    public IReadOnlyList<GradeChance> Chances { get; init; } = [];
}

/// <summary>A tube under all limits of one grade.</summary>
/// <param name="Decision">Accepted when every limit is, rejected when one is, else absent where a value is missing, else undecided.</param>
/// <param name="AtLeast">Probability that it keeps to all of them, however its errors hang together (Bonferroni); null where a value or its uncertainty is missing.</param>
/// <param name="Probably">The same if the errors of different quantities were independent.</param>
/// <param name="AtMost">The same however they hang together: that of the limit least likely kept.</param>
/// <param name="Limits">One by one.</param>
public sealed record GradeChance(Decision Decision, double? AtLeast, double? Probably, double? AtMost, IReadOnlyList<Conformity> Limits)
{
    internal static GradeChance Of(IReadOnlyList<Conformity> judged)
    {
        var decision = judged.Any(j => j.Decision == Decision.Reject) ? Decision.Reject
            : judged.Any(j => j.Decision == Decision.Absent) ? Decision.Absent
            : judged.All(j => j.Decision == Decision.Accept) ? Decision.Accept
            : Decision.Undecided;
        if (judged.Any(j => j.Probability is null)) return new(decision, null, null, null, judged);
        double[] chances = [.. judged.Select(j => j.Probability!.Value)];
        return new(decision, Math.Max(0, 1 - chances.Sum(p => 1 - p)), chances.Aggregate(1.0, (all, p) => all * p), chances.Min(), judged);
    }
}

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
        var chances = new List<GradeChance>();
        string? given = null;
        var open = false;
        foreach (var grade in Grades)
        {
            var judged = grade.Limits.Select(l => Conformity.Of(l, figures.GetValueOrDefault(l.Quantity) ?? Figure.None(l.Unit, "not measured"), Guard)).ToArray();
            chances.Add(GradeChance.Of(judged));
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
        return new(given, open, [.. chances.Select(c => c.AtLeast)], reasons) { Chances = chances };
    }
}
