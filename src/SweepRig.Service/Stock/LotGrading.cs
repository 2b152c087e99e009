using SweepRig.Analysis.Grading;
using SweepRig.Service.Contract;

namespace SweepRig.Service.Stock;

/// <summary>Grades of a lot by what its newest sweeps say. Pure.</summary>
public static class LotGrading
{
    public const string None = "none";
    public const string Undecided = "undecided";

    /// <param name="scheme">Grades, the best first.</param>
    /// <param name="tubes">With their figures.</param>
    public static LotGradesView Of(GradeScheme scheme, IReadOnlyList<TubeFigures> tubes)
    {
        TubeGradeView[] given = [.. tubes.Select(t => One(scheme, t))];
        return new(
            given,
            [
                .. scheme.Grades.Select(g => new GradeCountView(g.Name, given.Count(t => t.Grade == g.Name && !t.Undecided))),
                new(None, given.Count(t => t is { Grade: null, Undecided: false })),
                new(Undecided, given.Count(t => t.Undecided)),
            ],
            Applied: false);
    }

    private static TubeGradeView One(GradeScheme scheme, TubeFigures tube)
    {
        var given = scheme.Give(tube.Figures);
        return new(tube.Label, given.Grade, given.IsUndecided, [.. given.AtLeast], [.. given.Reasons.Select(r => r.Says).Distinct()]);
    }
}
