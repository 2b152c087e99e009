using System.Globalization;
using SweepRig.Domain.Quantities;
using SweepRig.Service.Cli.Terminal;
using SweepRig.Service.Contract;
using SweepRig.Service.Stock;

namespace SweepRig.Service.Cli.Rendering;

/// <summary>How a lot falls under grades, for a terminal.</summary>
public static class GradesText
{
    public static IEnumerable<string> Lines(LotGradesView grades, Ink ink)
    {
        var tubes = new TextTable(("tube", false), ("grade", false), ("what stands against a better one", false));
        foreach (var tube in grades.Tubes)
            tubes.Row(tube.Tube, (tube.Grade ?? LotGrading.None) + (tube.Undecided ? ", or better" : ""), string.Join("; ", tube.Reasons));
        foreach (var line in tubes.Lines(ink)) yield return line;
        yield return "";
        foreach (var line in Yields(grades).Lines(ink)) yield return line;
        yield return "Expected: tubes whose true values keep to the limits, each counted with its probability; from and to, however the errors of different quantities hang together. A tube counts whether or not a better grade is given to it.";
        yield return "";
        foreach (var line in Limits(grades).Lines(ink)) yield return line;
        yield return $"Guard band: {Number(grades.Guard)} expanded uncertainties (JCGM 106), as half of the tubes need it or less. Yes: inside the limits less the band; no: outside the limits plus the band; open: between; none: not measured, or without uncertainty.";
        foreach (var remark in grades.Remarks) yield return remark;
        yield return "";
        yield return string.Join(", ", grades.Counts.Select(c => string.Create(CultureInfo.InvariantCulture, $"{c.Tubes} {c.Grade}"))) + ".";
        yield return grades.Applied ? "Grades that are sure are given." : "Nothing is changed; --apply gives the grades that are sure.";
    }

    private static TextTable Yields(LotGradesView grades)
    {
        var table = new TextTable(("grade", false), ("sure", true), ("undecided", true), ("denied", true), ("not measured", true), ("expected", true), ("from", true), ("to", true));
        foreach (var y in grades.Yields)
            table.Row(y.Grade, Count(y.Sure), Count(y.Undecided), Count(y.Denied), Count(y.NotMeasured), Number(y.Expected), Number(y.AtLeast), Number(y.AtMost));
        return table;
    }

    private static TextTable Limits(LotGradesView grades)
    {
        var table = new TextTable(("grade", false), ("quantity", false), ("limit", false), ("guard", true), ("yes", true), ("open", true), ("no", true), ("none", true));
        foreach (var l in grades.Limits)
            table.Row(l.Grade, l.Quantity, Limit(l), Value(l.GuardBand, l.Unit), Count(l.Accepted), Count(l.Undecided), Count(l.Rejected), Count(l.NotMeasured));
        return table;
    }

    private static string Limit(GradeLimitView limit) => limit switch
    {
        { Lowest: null } => $"at most {Value(limit.Highest, limit.Unit)}",
        { Highest: null } => $"at least {Value(limit.Lowest, limit.Unit)}",
        _ => $"{Value(limit.Lowest, limit.Unit)} to {Value(limit.Highest, limit.Unit)}",
    };

    private static string Count(int count) => count.ToString(CultureInfo.InvariantCulture);

    private static string Number(double value) => value.ToString("0.##", CultureInfo.InvariantCulture);

    private static string Value(double? value, string unit) => value is { } v ? Engineering.Figure(v, unit, 3) : "";
}
