namespace SweepRig.Analysis.Grading;

/// <summary>How a lot falls under one grade, a tube counting whether or not a better grade is given to it.</summary>
/// <param name="Grade">Its name.</param>
/// <param name="Sure">Tubes that keep to all of its limits, guard band included.</param>
/// <param name="Undecided">Tubes of which the measurement is not sure enough to say.</param>
/// <param name="Denied">Tubes that break a limit, guard band included.</param>
/// <param name="NotMeasured">Tubes that lack a value, or its uncertainty, and break no limit.</param>
/// <param name="Expected">Tubes whose true values keep to its limits, to be expected: the sum of the probabilities, if errors of different quantities were independent.</param>
/// <param name="AtLeast">The same however they hang together: not fewer are to be expected.</param>
/// <param name="AtMost">Not more are to be expected.</param>
public sealed record LotYield(string Grade, int Sure, int Undecided, int Denied, int NotMeasured, double Expected, double AtLeast, double AtMost)
{
    /// <summary>For each grade of a scheme, the best first.</summary>
    /// <param name="scheme">The grades.</param>
    /// <param name="given">What the tubes of the lot are given under it.</param>
    public static IReadOnlyList<LotYield> Of(GradeScheme scheme, IReadOnlyList<GradeGiven> given)
    {
        ArgumentNullException.ThrowIfNull(scheme);
        ArgumentNullException.ThrowIfNull(given);
        return [.. scheme.Grades.Select((grade, i) => One(grade.Name, [.. given.Select(g => g.Chances[i])]))];
    }

    private static LotYield One(string grade, GradeChance[] chances)
    {
        var known = chances.Where(c => c.Decision is Decision.Accept or Decision.Undecided or Decision.Reject && c.AtLeast is not null).ToArray();
        int Count(Decision decision) => chances.Count(c => c.Decision == decision);
        var undecided = chances.Count(c => c.Decision == Decision.Undecided && c.AtLeast is not null);
        return new(
            grade, Count(Decision.Accept), undecided, Count(Decision.Reject), chances.Length - Count(Decision.Accept) - Count(Decision.Reject) - undecided,
            known.Sum(c => c.Probably!.Value), known.Sum(c => c.AtLeast!.Value), known.Sum(c => c.AtMost!.Value));
    }
}
