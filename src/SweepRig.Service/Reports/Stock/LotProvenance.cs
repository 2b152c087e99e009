using SweepRig.Domain.Rigs;
using SweepRig.Service.Cli.Demonstration;
using SweepRig.Service.Cli.Rendering;

namespace SweepRig.Service.Reports.Stock;

/// <summary>What the figures of a lot lean on.</summary>
internal static class LotProvenance
{
    public static ReportSection Of(LotSheet sheet)
    {
        List<string[]> rows = [];
        foreach (var group in sheet.Runs.GroupBy(r => RunText.Calibration(r.Header.Calibration)).OrderByDescending(g => g.Count()))
            rows.Add(["calibration", $"{group.Key}: {LotReport.Count(group.Count(), "run")}"]);
        foreach (var group in sheet.Runs.GroupBy(r => $"{r.Header.Rig.Board} {r.Header.Rig.SerialNumber}, {r.Header.Rig.Firmware}").OrderByDescending(g => g.Count()))
            rows.Add(["rig", $"{group.Key}: {LotReport.Count(group.Count(), "run")}"]);
        foreach (var group in sheet.Runs.GroupBy(r => r.Header.Plan.Name).OrderByDescending(g => g.Count()))
            rows.Add(["plan", $"{group.Key}: {LotReport.Count(group.Count(), "run")}"]);
        if (sheet.Runs.Count > 0)
            rows.Add(["measured", $"{RunText.Day(sheet.Runs.Min(r => r.Header.StartedUtc))} to {RunText.Day(sheet.Runs.Max(r => r.Header.StartedUtc))}"]);
        return new("Where it comes from", [], rows.Count == 0 ? [] : [new("", [], rows)],
        [
            "± holds the true value with 95 % probability (expanded uncertainty; its coverage factor is that of each figure, near 2). It contains what the calibration leaves open, resolution and scatter; not that another socket, heater voltage or day may give another value.",
            DemoScenario.Cautions,
        ]);
    }

    /// <summary>What a reader must know before any number on the sheet.</summary>
    public static string[] Warnings(LotSheet sheet)
    {
        var (nominal, stale) = (sheet.Runs.Count(r => r.Header.Calibration.IsNominal), sheet.Runs.Count(r => r.Header.Calibration.IsStale));
        List<string> says = [];
        if (nominal > 0) says.Add($"{nominal} of {LotReport.Count(sheet.Runs.Count, "run")} lean on nominal values: the rig was not calibrated.");
        if (stale > 0) says.Add($"{stale} of {LotReport.Count(sheet.Runs.Count, "run")} were made with a stale calibration: its time was over.");
        return [.. says];
    }

    /// <summary>For the footer.</summary>
    public static string Calibrations(LotSheet sheet)
    {
        string[] names = [.. sheet.Runs.Select(r => Name(r.Header.Calibration)).Distinct()];
        return names.Length switch
        {
            0 => "nothing measured",
            1 => $"calibration {names[0]}",
            <= 3 => $"calibrations {string.Join(", ", names)}",
            _ => $"{names.Length} calibrations",
        };
    }

    private static string Name(RigCalibration calibration) => calibration.IsNominal ? "nominal" : calibration.Id;
}
