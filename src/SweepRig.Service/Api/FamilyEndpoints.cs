using Microsoft.AspNetCore.Http.HttpResults;
using Microsoft.AspNetCore.Mvc;
using SweepRig.Service.Contract;
using SweepRig.Service.Families;
using SweepRig.Service.Fits;
using SweepRig.Service.Live;
using SweepRig.Storage;

namespace SweepRig.Service.Api;

/// <summary>Families: the surface of plate current, and load lines on it. Worked out from the stored codes whenever asked; nothing is kept.</summary>
public static class FamilyEndpoints
{
    private const string Together = " Runs named by with, of the same tube and connection, belong to it: other rails in triode connection, other plate resistors in either.";

    public static void MapFamilies(this IEndpointRouteBuilder api)
    {
        var runs = api.MapGroup("/runs").WithTags("Families");
        runs.MapGet("/{id}/family", FamilyAsync).WithName("getFamily").MayNotExist().RefusesInput()
            .WithSummary("Plate current over plate voltage, one line a drive." + Together);
        runs.MapGet("/{id}/family/prediction", PredictAsync).WithName("getFamilyPrediction").MayNotExist().RefusesInput()
            .WithSummary("The output that a load line gives on the family, and with run whether a sweep made with it came out so." + Together);
        runs.MapGet("/{id}/slopes", SlopesAsync).WithName("getSlopes").MayNotExist().RefusesInput()
            .WithSummary("Transconductance, plate resistance and amplification factor at stated grid voltages." + Together);
    }

    private static async Task<Results<Ok<SlopesView>, JsonHttpResult<ProblemView>>> SlopesAsync(
        RunStore store, CalibrationStore calibrations, Workbench workbench, string id, CancellationToken cancellationToken,
        [FromQuery(Name = "with")] string[]? others = null, string? calibration = null)
    {
        var (runs, problem) = await FitEndpoints.ReadAsync(store, calibrations, id, others, calibration, cancellationToken);
        return runs is null ? problem! : TypedResults.Ok(await workbench.RunAsync(() => TubeSlopes.View(runs), cancellationToken));
    }

    private static async Task<Results<Ok<FamilyView>, JsonHttpResult<ProblemView>>> FamilyAsync(
        RunStore store, CalibrationStore calibrations, Workbench workbench, string id, CancellationToken cancellationToken,
        [FromQuery(Name = "with")] string[]? others = null, string? calibration = null)
    {
        var (runs, problem) = await FitEndpoints.ReadAsync(store, calibrations, id, others, calibration, cancellationToken);
        if (runs is null) return problem!;
        var family = await workbench.RunAsync(() => TubeFamilies.View(runs), cancellationToken);
        return family.IsAccepted ? TypedResults.Ok(family.Value) : Problems.Refused(family.Refusals);
    }

    private static async Task<Results<Ok<FamilyPredictionView>, JsonHttpResult<ProblemView>>> PredictAsync(
        RunStore store, CalibrationStore calibrations, Workbench workbench, string id, CancellationToken cancellationToken,
        double? plateResistorOhms = null, double? plateRailVolts = null, string? run = null, [FromQuery(Name = "with")] string[]? others = null, string? calibration = null)
    {
        var (runs, problem) = await FitEndpoints.ReadAsync(store, calibrations, id, others, calibration, cancellationToken);
        if (runs is null) return problem!;
        var connection = Predictions.Connection(runs.First.Record.Header.Plan.Connection, plateResistorOhms, plateRailVolts);
        if (!connection.IsAccepted) return Problems.Refused(connection.Refusals);
        RecordedRun? measured = null;
        if (run is not null)
        {
            if (await store.FindAsync(run, cancellationToken) is not { } record) return RunEndpoints.NoSuchRun(run);
            var faults = FamilyCheckRun.Faults(runs, record);
            if (faults.Count > 0) return Problems.Refused(faults);
            var read = await RecordedRun.ReadAsync(store, calibrations, record, calibration, cancellationToken);
            if (!read.IsAccepted) return Problems.Refused(read.Refusals);
            measured = read.Value;
        }
        var predicted = await workbench.RunAsync(() => TubeFamilies.Predict(runs, connection.Value, measured), cancellationToken);
        return predicted.IsAccepted ? TypedResults.Ok(predicted.Value) : Problems.Refused(predicted.Refusals);
    }
}
