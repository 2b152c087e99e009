using System.Globalization;
using SweepRig.Analysis.Grading;
using SweepRig.Domain.Quantities;
using SweepRig.Service.Contract;
using SweepRig.Service.Stock;

namespace SweepRig.Service.Reports.Stock;

/// <summary>How a lot falls under grades: those that the report was asked for with, else those that its tubes were given before.</summary>
internal static class LotYieldSection
{
    public static ReportSection Of(LotSheet sheet) => sheet.Scheme is { } scheme ? Under(sheet, scheme) : Given(sheet);

    private static ReportSection Under(LotSheet sheet, GradeScheme scheme)
    {
        var grades = LotGrading.Of(scheme, [.. sheet.Alive.Select(t => t.Figures)]);
        var all = Math.Max(1, grades.Tubes.Length);
        return new("Yield", [],
        [
            new("", ["grade", "limits", "tubes", "share", "to be expected"],
                [.. grades.Counts.Select(c => (string[])[c.Grade, Limits(scheme, c.Grade), c.Tubes.ToString(CultureInfo.InvariantCulture), Share(c.Tubes, all), Expected(grades, c.Grade)])]),
        ],
        [
            "To be expected: tubes that truly keep to the limits of the grade, whatever better grade they have: the sum of their probabilities, those undecided counted with theirs.",
            $"A grade is given when every limit is kept with a guard band of {scheme.Guard.ToString("0.##", CultureInfo.InvariantCulture)} expanded uncertainties to spare, and denied when a limit is broken with as much (JCGM 106:2012, 8.3). Between them stands \"{LotGrading.Undecided}\": measure again, with repeats or after a calibration. Retired tubes are left out.",
        ]);
    }

    private static string Expected(LotGradesView grades, string grade) =>
        grades.Yields.FirstOrDefault(y => y.Grade == grade) is { } of ? of.Expected.ToString("0.0", CultureInfo.InvariantCulture) : "";

    private static ReportSection Given(LotSheet sheet)
    {
        var alive = sheet.Alive.ToArray();
        var given = alive.Where(t => t.Tube.Grade is not null).GroupBy(t => t.Tube.Grade!).OrderByDescending(g => g.Count()).ThenBy(g => g.Key, StringComparer.Ordinal).ToArray();
        if (given.Length == 0)
            return new("Yield", [], [], [$"No tube of this lot has a grade yet. Write limits into a file, look how the lot falls with sweeprig grade \"{sheet.Lot.Name}\" FILE, and ask for this report with --grades FILE."]);
        return new("Yield", [],
        [
            new("", ["grade, as last given", "", "tubes", "share"],
            [
                .. given.Select(g => (string[])[g.Key, "", g.Count().ToString(CultureInfo.InvariantCulture), Share(g.Count(), alive.Length)]),
                ["none yet", "", alive.Count(t => t.Tube.Grade is null).ToString(CultureInfo.InvariantCulture), Share(alive.Count(t => t.Tube.Grade is null), alive.Length)],
            ]),
        ], ["Retired tubes are left out."]);
    }

    private static string Limits(GradeScheme scheme, string grade) =>
        string.Join(", ", scheme.Grades.FirstOrDefault(g => g.Name == grade)?.Limits.Select(Words) ?? []);

    private static string Words(QuantityLimit limit) => (limit.Lowest, limit.Highest) switch
    {
        ({ } low, { } high) => $"{limit.Quantity} {Text(low, limit)} to {Text(high, limit)}",
        ({ } low, null) => $"{limit.Quantity} from {Text(low, limit)}",
        _ => $"{limit.Quantity} up to {Text(limit.Highest!.Value, limit)}",
    };

    internal static string Text(double value, QuantityLimit limit) => Engineering.Format(value, limit.Unit == "1" ? "" : limit.Unit).Trim();

    private static string Share(int tubes, int of) => (100.0 * tubes / Math.Max(1, of)).ToString("0", CultureInfo.InvariantCulture) + " %";
}
