using SweepRig.Domain.Plans;

namespace SweepRig.Domain.Tests.Plans;

/// <summary>Documents that are wrong in one way each, made by changing one piece of a good one.</summary>
internal static class BadDocuments
{
    /// <summary>What is replaced, by what, the code and path of the refusal, and whether JSON Schema can say so too.</summary>
    public sealed record Case(string Old, string New, string Code, string Path, bool SchemaRefuses = true);

    public static string Good { get; } = PlanDocument.Write(PlanExamples.FarPositivePentode.Plan with
    {
        Settle = new(new(0.02), 20_000),
        SecondSource = new(SteppedSource.PlateRail, new(20), new(28), 5),
    });

    public static IReadOnlyDictionary<string, Case> All { get; } = new Dictionary<string, Case>
    {
        ["unknown key at the top"] = new("\"repeats\": 1", "\"repeat\": 1", "unknown-key", "/repeat"),
        ["unknown key further down"] = new("\"stopVolts\": 24,", "\"stopVolts\": 24, \"maxGridVolt\": 3,", "unknown-key", "/drive/maxGridVolt"),
        ["key with a slash"] = new("\"repeats\": 1", "\"a/b~c\": 1", "unknown-key", "/a~1b~0c"),
        ["missing key"] = new("\"dwellMicroseconds\": 2000,", "", "missing-key", "/dwellMicroseconds"),
        ["missing key further down"] = new("\"points\": 191,", "", "missing-key", "/drive/points"),
        ["number as text"] = new("\"points\": 191", "\"points\": \"191\"", "wrong-type", "/drive/points"),
        ["text as number"] = new("\"direction\": \"upAndDown\"", "\"direction\": 3", "wrong-type", "/drive/direction"),
        ["null"] = new("\"startVolts\": -14", "\"startVolts\": null", "wrong-type", "/drive/startVolts"),
        ["list for object"] = new("\"conversions\": 16", "\"conversions\": [16]", "wrong-type", "/averaging/conversions"),
        ["NaN as text"] = new("\"stopVolts\": 24", "\"stopVolts\": \"NaN\"", "wrong-type", "/drive/stopVolts"),
        ["infinite"] = new("\"stopVolts\": 24", "\"stopVolts\": 1e999", "not-finite", "/drive/stopVolts", false),
        ["duplicate key"] = new("\"repeats\": 1", "\"repeats\": 1, \"repeats\": 2", "duplicate-key", "/repeats", false),
        ["reversed limits"] = new("\"startVolts\": -14", "\"startVolts\": 25", "reversed-limits", "/drive/stopVolts", false),
        ["equal limits"] = new("\"startVolts\": -14", "\"startVolts\": 24", "reversed-limits", "/drive/stopVolts", false),
        ["no points"] = new("\"points\": 191", "\"points\": 0", "out-of-range", "/drive/points"),
        ["one point"] = new("\"points\": 191", "\"points\": 1", "out-of-range", "/drive/points"),
        ["a million points"] = new("\"points\": 191", "\"points\": 1000000", "out-of-range", "/drive/points"),
        ["half a point"] = new("\"points\": 191", "\"points\": 190.5", "not-whole", "/drive/points"),
        ["drive too low"] = new("\"startVolts\": -14", "\"startVolts\": -60.5", "out-of-range", "/drive/startVolts"),
        ["unknown direction"] = new("\"upAndDown\"", "\"upanddown\"", "unknown-word", "/drive/direction"),
        ["dwell of zero"] = new("\"dwellMicroseconds\": 2000", "\"dwellMicroseconds\": 0", "out-of-range", "/dwellMicroseconds"),
        ["negative dwell"] = new("\"dwellMicroseconds\": 2000", "\"dwellMicroseconds\": -1", "out-of-range", "/dwellMicroseconds"),
        ["257 conversions"] = new("\"conversions\": 16", "\"conversions\": 257", "out-of-range", "/averaging/conversions"),
        ["both averagings"] = new("\"conversions\": 16", "\"conversions\": 16, \"mainsPeriods\": 1, \"mainsHertz\": 50", "both-averagings", "/averaging"),
        ["no averaging"] = new("\"conversions\": 16", "", "missing-key", "/averaging"),
        ["55 Hz"] = new("\"conversions\": 16", "\"mainsPeriods\": 1, \"mainsHertz\": 55", "out-of-range", "/averaging/mainsHertz"),
        ["mains without its frequency"] = new("\"conversions\": 16", "\"mainsPeriods\": 1", "missing-key", "/averaging/mainsHertz"),
        ["no tolerance"] = new("\"toleranceVolts\": 0.02", "\"toleranceVolts\": 0", "out-of-range", "/settle/toleranceVolts"),
        ["no repeats"] = new("\"repeats\": 1", "\"repeats\": 0", "out-of-range", "/repeats"),
        ["stepped screen"] = new("\"source\": \"plateRail\"", "\"source\": \"screen\"", "not-on-this-rig", "/secondSource/source"),
        ["stepped suppressor"] = new("\"source\": \"plateRail\"", "\"source\": \"suppressor\"", "not-on-this-rig", "/secondSource/source"),
        ["stepped third grid"] = new("\"source\": \"plateRail\"", "\"source\": \"thirdGrid\"", "not-on-this-rig", "/secondSource/source"),
        ["one step"] = new("\"steps\": 5", "\"steps\": 1", "out-of-range", "/secondSource/steps"),
        ["nothing stepped"] = new("\"fromVolts\": 20", "\"fromVolts\": 28", "nothing-stepped", "/secondSource/toVolts", false),
        ["stepped over 60 V"] = new("\"toVolts\": 28", "\"toVolts\": 61", "out-of-range", "/secondSource/toVolts"),
        ["rail over 60 V"] = new("\"plateRailVolts\": 28", "\"plateRailVolts\": 250", "out-of-range", "/connection/plateRailVolts"),
        ["rail just over 60 V"] = new("\"plateRailVolts\": 28", "\"plateRailVolts\": 60.000001", "out-of-range", "/connection/plateRailVolts"),
        ["negative rail"] = new("\"plateRailVolts\": 28", "\"plateRailVolts\": -28", "out-of-range", "/connection/plateRailVolts"),
        ["positive bias rail"] = new("\"biasRailVolts\": -14", "\"biasRailVolts\": 14", "out-of-range", "/connection/biasRailVolts"),
        ["negative resistor"] = new("\"plateResistorOhms\": 10000", "\"plateResistorOhms\": -10000", "out-of-range", "/connection/plateResistorOhms"),
        ["no stopper"] = new("\"gridStopperOhms\": 4700", "\"gridStopperOhms\": 0", "out-of-range", "/connection/gridStopperOhms"),
        ["unknown connection"] = new("\"kind\": \"pentode\"", "\"kind\": \"pentod\"", "unknown-word", "/connection/kind"),
        ["another format"] = new("sweep-plan/1", "sweep-plan/2", "unknown-word", "/format"),
        ["empty name"] = new("Pentode at 28 V, far positive", "", "out-of-range", "/name"),
        ["name of spaces"] = new("Pentode at 28 V, far positive", "   ", "out-of-range", "/name"),
        ["name too long"] = new("Pentode at 28 V, far positive", new string('x', 81), "out-of-range", "/name"),
        ["name of two lines"] = new("Pentode at 28 V, far positive", "a\\nb", "bad-text", "/name"),
        ["too many samples"] = new("\"points\": 191,", "\"points\": 20000,", "too-many-samples", "", false),
    };

    public static string Text(string name)
    {
        var one = All[name];
        if (!Good.Contains(one.Old, StringComparison.Ordinal)) throw new InvalidOperationException($"The good document has no {one.Old}.");
        var at = Good.IndexOf(one.Old, StringComparison.Ordinal);
        var text = string.Concat(Good.AsSpan(0, at), one.New, Good.AsSpan(at + one.Old.Length));
        return name == "too many samples" ? text.Replace("\"repeats\": 1", "\"repeats\": 1000", StringComparison.Ordinal) : text;
    }
}
