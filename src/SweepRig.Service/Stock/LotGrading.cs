using SweepRig.Analysis.Grading;
using SweepRig.Domain.Stock;
using SweepRig.Service.Contract;
using SweepRig.Storage;

namespace SweepRig.Service.Stock;

/// <summary>Grades of a lot by what is known of its tubes. Pure, but for giving them.</summary>
public static class LotGrading
{
    public const string None = "none";
    public const string Undecided = "undecided";

    /// <param name="scheme">Grades, the best first.</param>
    /// <param name="tubes">With their figures.</param>
    public static LotGradesView Of(GradeScheme scheme, IReadOnlyList<TubeFigures> tubes)
    {
        GradeGiven[] given = [.. tubes.Select(t => scheme.Give(t.Figures))];
        return new(
            [.. tubes.Zip(given, One)],
            [
                .. scheme.Grades.Select(g => new GradeCountView(g.Name, given.Count(t => t.Grade == g.Name && !t.IsUndecided))),
                new(None, given.Count(t => t is { Grade: null, IsUndecided: false })),
                new(Undecided, given.Count(t => t.IsUndecided)),
            ],
            [.. LotYield.Of(scheme, given).Select(y => new GradeYieldView(y.Grade, y.Sure, y.Undecided, y.Denied, y.NotMeasured, y.Expected, y.AtLeast, y.AtMost))],
            [.. scheme.Grades.SelectMany((grade, g) => grade.Limits.Select((limit, l) => Of(grade.Name, limit, scheme.Guard, [.. given.Select(t => t.Chances[g].Limits[l])])))],
            scheme.Guard,
            Applied: false,
            [.. Comparability.Remarks(tubes, scheme.Grades.SelectMany(g => g.Limits).Select(l => l.Quantity))]);
    }

    /// <summary>Puts the grades that are sure into the history of the tubes; a tube that has its grade already gets no second entry.</summary>
    public static async Task<LotGradesView> ApplyAsync(StockStore stock, LotReading reading, LotGradesView grades, CancellationToken cancellationToken)
    {
        foreach (var (tube, given) in reading.Tubes.Zip(grades.Tubes))
            if (given is { Grade: { } grade, Undecided: false } && tube.Grade != grade) await stock.ChangeAsync(given.Tube, TubeChangeKind.Graded, grade, cancellationToken);
        return grades with { Applied = true };
    }

    private static TubeGradeView One(TubeFigures tube, GradeGiven given) => new(
        tube.Label, given.Grade, given.IsUndecided, [.. given.AtLeast], [.. given.Chances.Select(c => c.Probably)], [.. given.Chances.Select(c => c.AtMost)],
        [.. given.Reasons.Select(r => r.Says).Distinct()]);

    private static GradeLimitView Of(string grade, QuantityLimit limit, double guard, Conformity[] judged)
    {
        double[] bands = [.. judged.Select(j => guard * j.Value.ExpandedUncertainty).OfType<double>().Order()];
        int Count(Decision decision) => judged.Count(j => j.Decision == decision && (decision != Decision.Undecided || j.Probability is not null));
        var (accepted, undecided, rejected) = (Count(Decision.Accept), Count(Decision.Undecided), Count(Decision.Reject));
        return new(
            grade, limit.Quantity, limit.Unit, limit.Lowest, limit.Highest, bands.Length == 0 ? null : Spread.Quantile(bands, 0.5), accepted, undecided, rejected,
            judged.Length - accepted - undecided - rejected);
    }
}
