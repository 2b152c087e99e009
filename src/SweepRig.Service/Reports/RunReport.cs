using SweepRig.Domain.Rigs;
using SweepRig.Service.Cli.Demonstration;
using SweepRig.Service.Cli.Rendering;
using SweepRig.Service.Live;

namespace SweepRig.Service.Reports;

/// <summary>What a report of a run says.</summary>
public static class RunReport
{
    /// <summary>Pure: the same run gives the same report.</summary>
    /// <param name="more">Sections to stand between the levels and the provenance.</param>
    public static Report Of(RecordedRun run, IReadOnlyList<ReportSection>? more = null)
    {
        ArgumentNullException.ThrowIfNull(run);
        var header = run.Record.Header;
        var wiring = header.Plan.Connection;
        var events = RunText.Events(run.Record).ToArray();
        return new(
            RunText.Tube(header.Tube),
            $"{BenchViews.Word(wiring.Kind)} connection, plate rail {wiring.PlateRail}, plate resistor {wiring.PlateResistor}, drive {header.Plan.Start} to {header.Plan.Stop}",
            [
                new("Curves", ReportFigures.Of(run), [], []) { Lead = Warnings(run.InForce) },
                ReportLevels.Of(run),
                .. more ?? [],
                new("Trips and gaps", [], [], events.Length == 0 ? ["None: every point planned was measured, and no interlock fired."] : events),
                new("Where it comes from", [], [Provenance(run)], [DemoScenario.Cautions]),
            ],
            $"SweepRig {header.SoftwareVersion} · run {header.Id} · {RunText.Time(header.StartedUtc)} · rig {header.Rig.SerialNumber} · {CalibrationName(run.InForce)}");
    }

    /// <summary>What a reader of the sheet must know before any number on it.</summary>
    private static string[] Warnings(RigCalibration calibration) => calibration switch
    {
        { IsNominal: true } => ["The rig was not calibrated: all volts and amperes lean on nominal values."],
        { IsStale: true } => ["The calibration of the rig was stale: its time is over."],
        _ => [],
    };

    private static ReportTable Provenance(RecordedRun run) =>
        new("", [], [.. RunText.Provenance(run.Record, run.InForce, default).Select(Split)]);

    // The rows of the terminal are a name and a text, two or more spaces apart.
    private static string[] Split(string line)
    {
        var at = line.IndexOf("  ", StringComparison.Ordinal);
        return at < 0 ? [line, ""] : [line[..at], line[at..].Trim()];
    }

    private static string CalibrationName(RigCalibration calibration) => calibration.Origin is { } origin
        ? $"calibration {calibration.Id} of {RunText.Day(origin.MadeUtc)}"
        : calibration.IsNominal ? "calibration: nominal" : $"calibration {calibration.Id}";
}
