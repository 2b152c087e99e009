using SweepRig.Analysis.Models;
using SweepRig.Domain;
using SweepRig.Domain.Runs;
using SweepRig.Domain.Tubes;
using SweepRig.Service.Contract;
using SweepRig.Service.Fits;
using SweepRig.Service.Health;
using SweepRig.Service.Live;
using SweepRig.Storage;

namespace SweepRig.Service.Reports;

/// <summary>What a report is asked for beside the run itself.</summary>
/// <param name="With">Ids of runs that are fitted together with it.</param>
/// <param name="PlateResistorOhms">To predict the output with; null for the one of the run, or the usual ones when no rail is asked for either.</param>
/// <param name="PlateRailVolts">The same of the rail.</param>
public sealed record ReportAsked(IReadOnlyList<string> With, string? Calibration = null, double? PlateResistorOhms = null, double? PlateRailVolts = null);

/// <param name="Run">That it is of, with the calibration asked for.</param>
public sealed record MadeReport(RecordedRun Run, Report Report);

/// <summary>The report of a run with all that can be worked out of it: levels, fit, prediction, health. Nothing of it is kept.</summary>
public static class WholeReport
{
    /// <returns>The report and the run it is of; or why what was asked cannot be. A run that cannot be fitted has a report that says so.</returns>
    public static async Task<Outcome<MadeReport>> OfAsync(
        RunStore store, CalibrationStore calibrations, Workbench workbench, RunRecord record, ReportAsked asked, CancellationToken cancellationToken)
    {
        var like = record.Header.Plan.Connection;
        var connection = Predictions.Connection(like, asked.PlateResistorOhms, asked.PlateRailVolts);
        if (!connection.IsAccepted) return Refuse(connection.Refusals);
        var predicted = asked.PlateResistorOhms is null && asked.PlateRailVolts is null ? ReportPrediction.Usual(like) : [connection.Value];

        // A run that no fit takes by itself is told of all the same; what was asked to go with it must go.
        var faults = ChosenRuns.Faults([record]).ToArray();
        if (faults.Length > 0 && asked.With.Count > 0) return Refuse(faults);
        RecordedRun run;
        List<ReportSection> more = [];
        if (record.Header.Screening is not null || faults.Length > 0)
        {
            var read = await RecordedRun.ReadAsync(store, calibrations, record, asked.Calibration, cancellationToken);
            if (!read.IsAccepted) return Refuse(read.Refusals);
            run = read.Value;
            if (faults.Length > 0) more.Add(new("Fit of the tube", [], [], [.. faults.Select(f => f.ToString())]));
        }
        else
        {
            var chosen = await ChosenRuns.ReadAsync(store, calibrations, record, asked.With, asked.Calibration, cancellationToken);
            if (!chosen.IsAccepted) return Refuse(chosen.Refusals);
            run = chosen.Value.First;
            more.AddRange(await workbench.RunAsync(() => Fitted(chosen.Value, predicted, cancellationToken), cancellationToken));
        }
        var health = await HealthAsync(store, calibrations, record, asked.Calibration, cancellationToken);
        return Outcome<MadeReport>.Accept(new(run, RunReport.Of(run, [.. more, health])));
    }

    private static ReportSection[] Fitted(ChosenRuns runs, IReadOnlyList<Connection> predicted, CancellationToken cancellationToken)
    {
        var fit = TubeFits.Fit(runs, cancellationToken);
        return fit.Status == ModelFitStatus.Refused ? [ReportFit.Of(runs, fit)] : [ReportFit.Of(runs, fit), ReportPrediction.Of(runs, fit, predicted)];
    }

    private static async Task<ReportSection> HealthAsync(RunStore store, CalibrationStore calibrations, RunRecord record, string? calibration, CancellationToken cancellationToken)
    {
        if (await Screenings.StepAsync(store, record, cancellationToken) is not { } step) return ReportHealth.NotScreened(new(record.Header.Tube.Label, record.Header.Tube.TypeName, record.Header.Tube.Lot));
        var report = await RecordedScreening.ReadAsync(store, calibrations, step, calibration, cancellationToken);
        return report.IsAccepted ? ReportHealth.Of(HealthView.Of(report.Value)) : new("Health", [], [], [.. report.Refusals.Select(r => r.ToString())]);
    }

    private static Outcome<MadeReport> Refuse(IReadOnlyList<Refusal> refusals) => Outcome<MadeReport>.Refuse(refusals);
}
