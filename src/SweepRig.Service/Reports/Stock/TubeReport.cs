using System.Globalization;
using SweepRig.Domain.Runs;
using SweepRig.Service.Cli.Demonstration;
using SweepRig.Service.Cli.Rendering;
using SweepRig.Service.Contract;
using SweepRig.Service.Hosting;
using SweepRig.Service.Live;

namespace SweepRig.Service.Reports.Stock;

/// <summary>The sheet of one tube: what it is, what happened to it, what it does now.</summary>
public static class TubeReport
{
    private const int MostRuns = 12;

    /// <summary>Pure: the same tube gives the same report.</summary>
    public static Report Of(TubeSheet sheet)
    {
        ArgumentNullException.ThrowIfNull(sheet);
        return new(
            $"{sheet.Label}, {sheet.TypeName ?? "type not known"}",
            string.Join(", ", ((string?[])[sheet.Lot is { } lot ? $"lot {lot}" : null, .. Standing(sheet)]).OfType<string>()),
            [
                Curves(sheet),
                History(sheet),
                Health(sheet),
                .. sheet.Newest.Select(Levels),
                .. sheet.Newest.Count == 0 ? [] : (ReportSection[])[TubeDriftSection.Of(sheet.Drifts)],
                .. sheet.Studies.Select(ReportStudy.Of),
                Runs(sheet),
                new("Where it comes from", [], Provenance(sheet), [DemoScenario.Cautions]),
            ],
            $"SweepRig {BenchServices.SoftwareVersion} · tube {sheet.Label} · {RunText.Time(sheet.MadeUtc)} · {LotReport.Count(sheet.Recorded.Count, "run")}{Calibrations(sheet)}");
    }

    private static IEnumerable<string?> Standing(TubeSheet sheet)
    {
        if (sheet.Booked is not { } tube)
        {
            yield return "not booked into the stock";
            yield break;
        }
        yield return StockWords.Word(tube.State) + (tube.InUseAt is { } use ? $" at {use}" : "");
        yield return tube.Grade is { } grade ? $"grade {grade}" : "no grade yet";
        yield return tube.InUseAt is null ? tube.Location : null;
    }

    private static ReportSection Curves(TubeSheet sheet)
    {
        if (sheet.Newest.Count == 0)
            return new("Curves", [], [], [$"No complete sweep of this tube is on record. Sweep it: sweeprig sweep gentle-pentode --tube {sheet.Label} --type {sheet.TypeName ?? "TYPE"}."]) { Lead = Cautions(sheet) };
        ReportCurve[] outputs = [.. sheet.Newest.Select(r => ReportFigures.Output(r, Word(r))).OfType<ReportCurve>()];
        return new("Curves", outputs.Length == 0 ? [] : [new("Output over drive, the newest sweep in each connection, first pass", "drive (V)", "output (V)", outputs)], [], []) { Lead = Cautions(sheet) };
    }

    private static string[] Cautions(TubeSheet sheet) =>
    [
        .. sheet.Caution is { } caution ? (string[])[caution] : [],
        .. sheet.Newest.Any(r => r.InForce.IsNominal) ? (string[])["The rig was not calibrated: volts and amperes of these sweeps lean on nominal values."] : [],
        .. sheet.Newest.Any(r => r.InForce.IsStale) ? (string[])["The calibration of the rig was stale: its time was over."] : [],
    ];

    private static ReportSection Levels(RecordedRun run)
    {
        var wiring = run.Header.Plan.Connection;
        var section = ReportLevels.Of(run);
        return section with
        {
            Heading = $"Levels, {Word(run)}",
            Lead = [$"{RunText.Day(run.Header.StartedUtc)}: plate rail {wiring.PlateRail}, plate resistor {wiring.PlateResistor}, drive {run.Header.Plan.Start} to {run.Header.Plan.Stop}."],
        };
    }

    private static ReportSection Health(TubeSheet sheet) => (sheet.Screened, sheet.Health) switch
    {
        (null, _) => ReportHealth.NotScreened(new(sheet.Label, sheet.TypeName ?? "TYPE", sheet.Lot)),
        ({ } step, { } health) => ReportHealth.Of(HealthView.Of(health)) with { Heading = $"Health, from the screening of {RunText.Day(step.Header.StartedUtc)}" },
        ({ } step, null) => new("Health", [], [], [$"The screening of {RunText.Day(step.Header.StartedUtc)} cannot be read: sweeprig runs health {step.Header.Id}."]),
    };

    private static ReportSection History(TubeSheet sheet) => sheet.Booked is { } tube
        ? new("History", [], [new("", [], [.. tube.History.Select(h => (string[])[h.AtUtc.UtcDateTime.ToString("yyyy-MM-dd HH:mm", CultureInfo.InvariantCulture), $"{StockWords.Word(h.Kind)} {h.Text}"])])], ["Times are UTC."])
        : new("History", [], [], ["The stock does not know this number; only its runs are on record."]);

    private static ReportSection Runs(TubeSheet sheet)
    {
        if (sheet.Recorded.Count == 0) return new("Runs", [], [], ["None."]);
        // The steps of a screening, and of a study, are one line.
        RunRecord[][] shown = [.. sheet.Recorded.GroupBy(r => r.Header.Screening?.ScreeningId ?? r.Header.Study?.StudyId ?? r.Header.Id).Select(g => g.ToArray())];
        var table = new ReportTable("", ["started (UTC)", "run", "what", "connection", "state", "trips", "gaps"], [.. shown.Take(MostRuns).Select(Row)]) { Words = 5 };
        return new("Runs", [], [table], shown.Length > MostRuns ? [$"The {MostRuns} newest of {shown.Length}."] : []);
    }

    private static string[] Row(RunRecord[] steps)
    {
        var first = steps[^1];
        string Total(Func<RunRecord, int> count) => steps.Sum(count).ToString(CultureInfo.InvariantCulture);
        return
        [
            first.Header.StartedUtc.UtcDateTime.ToString("yyyy-MM-dd HH:mm", CultureInfo.InvariantCulture), first.Header.Id[..13],
            What(first, steps.Length), BenchViews.Word(first.Header.Plan.Connection.Kind),
            string.Join(", ", steps.Select(r => BenchViews.Word(r.State)).Distinct()), Total(r => r.Trips.Count), Total(r => r.Gaps.Count),
        ];
    }

    private static string What(RunRecord first, int steps) => first.Header switch
    {
        { Screening: not null } => $"screening, {LotReport.Count(steps, "step")}",
        { Study: { } study } => $"{StudyText.Kind(StudyView.Word(study.Kind))}, {LotReport.Count(steps, "run")}",
        var header => header.Plan.Name,
    };

    private static ReportTable[] Provenance(TubeSheet sheet) => sheet.Newest.Count == 0 ? [] :
    [
        new("", [], [.. sheet.Newest.SelectMany(r => (string[][])
        [
            [Word(r), $"run {r.Header.Id}, {RunText.Time(r.Header.StartedUtc)}, socket {r.Header.Socket}"],
            ["calibration", RunText.Calibration(r.InForce)],
            ["rig", $"{r.Header.Rig.Board} {r.Header.Rig.SerialNumber}, {r.Header.Rig.Firmware}; SweepRig {r.Header.SoftwareVersion}"],
        ])]),
    ];

    private static string Calibrations(TubeSheet sheet) => sheet.Newest.Count == 0 ? "" :
        " · calibration " + string.Join(", ", sheet.Newest.Select(r => r.InForce.IsNominal ? "nominal" : r.InForce.Id).Distinct());

    private static string Word(RecordedRun run) =>
        BenchViews.Word(run.Header.Plan.Connection.Kind) + (run.Header.Tube.Section is { } section ? string.Create(CultureInfo.InvariantCulture, $", section {section}") : "");
}
