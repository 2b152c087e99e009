using System.Net.Mime;
using System.Text;
using Microsoft.AspNetCore.Http.HttpResults;
using Microsoft.AspNetCore.Mvc;
using SweepRig.Analysis.Spice;
using SweepRig.Service.Contract;
using SweepRig.Service.Fits;
using SweepRig.Service.Live;
using SweepRig.Storage;

namespace SweepRig.Service.Api;

/// <summary>The tube behind a run: fit, prediction, and a check of it. Worked out from the stored codes whenever asked; nothing is kept.</summary>
public static class FitEndpoints
{
    internal const string Together = " Runs named by with, of the same tube, are fitted together with it.";

    public static void MapFits(this IEndpointRouteBuilder api)
    {
        var runs = api.MapGroup("/runs").WithTags("Fits");
        runs.MapGet("/{id}/fit", FitAsync).WithName("getFit").MayNotExist().RefusesInput()
            .WithSummary("The constants of the tube, with intervals of 95 %, and what the fit leaves over." + Together);
        runs.MapGet("/{id}/laws", LawsAsync).WithName("getLaws").MayNotExist().RefusesInput()
            .WithSummary("The 3/2-power triode and Koren's forms fitted beside the model of the tube: constants, and what each leaves over of the output." + Together);
        runs.MapGet("/{id}/prediction", PredictAsync).WithName("getPrediction").MayNotExist().RefusesInput()
            .WithSummary("The output to be expected with another plate resistor or rail, and the plan that would check it." + Together);
        runs.MapGet("/{id}/prediction/check", CheckAsync).WithName("checkPrediction").MayNotExist().RefusesInput()
            .WithSummary("Whether another run of the tube came out as predicted." + Together);
        runs.MapGet("/{id}/tube.cir", ExportAsync).WithName("exportTube").MayNotExist().RefusesInput().Produces<string>(StatusCodes.Status200OK, MediaTypeNames.Text.Plain)
            .WithSummary("The fitted tube as a SPICE3 subcircuit, pentode and triode connection, with provenance and range in its comments." + Together);
    }

    private static async Task<Results<Ok<FitView>, JsonHttpResult<ProblemView>>> FitAsync(
        RunStore store, CalibrationStore calibrations, Workbench workbench, string id, CancellationToken cancellationToken,
        [FromQuery(Name = "with")] string[]? others = null, string? calibration = null)
    {
        var (runs, problem) = await ReadAsync(store, calibrations, id, others, calibration, cancellationToken);
        return runs is null ? problem! : TypedResults.Ok(await workbench.RunAsync(() => FitViewMaker.Of(runs, TubeFits.Fit(runs, cancellationToken)), cancellationToken));
    }

    private static async Task<Results<Ok<LawsView>, JsonHttpResult<ProblemView>>> LawsAsync(
        RunStore store, CalibrationStore calibrations, Workbench workbench, string id, CancellationToken cancellationToken,
        [FromQuery(Name = "with")] string[]? others = null, string? calibration = null)
    {
        var (runs, problem) = await ReadAsync(store, calibrations, id, others, calibration, cancellationToken);
        return runs is null ? problem! : TypedResults.Ok(await workbench.RunAsync(() => LawViewMaker.Of(runs, null, cancellationToken), cancellationToken));
    }

    private static async Task<Results<Ok<PredictionView>, JsonHttpResult<ProblemView>>> PredictAsync(
        RunStore store, CalibrationStore calibrations, Workbench workbench, string id, CancellationToken cancellationToken,
        double? plateResistorOhms = null, double? plateRailVolts = null, [FromQuery(Name = "with")] string[]? others = null, string? calibration = null)
    {
        var (runs, problem) = await ReadAsync(store, calibrations, id, others, calibration, cancellationToken);
        if (runs is null) return problem!;
        var connection = Predictions.Connection(runs.First.Record.Header.Plan.Connection, plateResistorOhms, plateRailVolts);
        if (!connection.IsAccepted) return Problems.Refused(connection.Refusals);
        var predicted = await workbench.RunAsync(() => Predictions.Of(runs, TubeFits.Fit(runs, cancellationToken), connection.Value), cancellationToken);
        return predicted.IsAccepted ? TypedResults.Ok(predicted.Value) : Problems.Refused(predicted.Refusals);
    }

    private static async Task<Results<Ok<PredictionCheckView>, JsonHttpResult<ProblemView>>> CheckAsync(
        RunStore store, CalibrationStore calibrations, Workbench workbench, string id, string run, CancellationToken cancellationToken,
        [FromQuery(Name = "with")] string[]? others = null, string? calibration = null)
    {
        var (runs, problem) = await ReadAsync(store, calibrations, id, others, calibration, cancellationToken);
        if (runs is null) return problem!;
        if (await store.FindAsync(run, cancellationToken) is not { } record) return RunEndpoints.NoSuchRun(run);
        var faults = ChosenRuns.Faults([runs.First.Record, record]).Select(f => f with { Path = "/run" }).ToList();
        if (runs.Ids.Contains(run, StringComparer.Ordinal))
            faults.Add(new("run-was-fitted", "/run", $"run {run}, which is among those fitted", "a prediction is held against a run that the fit has not seen", "Choose another run, or take it out of the fit."));
        if (faults.Count > 0) return Problems.Refused(faults);
        var measured = await RecordedRun.ReadAsync(store, calibrations, record, calibration, cancellationToken);
        if (!measured.IsAccepted) return Problems.Refused(measured.Refusals);
        var check = await workbench.RunAsync(() => Predictions.Check(runs, TubeFits.Fit(runs, cancellationToken), measured.Value), cancellationToken);
        return check.IsAccepted ? TypedResults.Ok(check.Value) : Problems.Refused(check.Refusals);
    }

    private static async Task<Results<FileContentHttpResult, JsonHttpResult<ProblemView>>> ExportAsync(
        RunStore store, CalibrationStore calibrations, Workbench workbench, string id, CancellationToken cancellationToken,
        [FromQuery(Name = "with")] string[]? others = null, string? calibration = null)
    {
        var (runs, problem) = await ReadAsync(store, calibrations, id, others, calibration, cancellationToken);
        if (runs is null) return problem!;
        var library = await workbench.RunAsync(() => FittedTube.Write(TubeFits.Fit(runs, cancellationToken), [.. runs.Runs.Select(TubeFits.Header)]), cancellationToken);
        return library.IsAccepted
            ? TypedResults.File(Encoding.ASCII.GetBytes(library.Value.Text), "text/plain; charset=us-ascii", runs.First.FileName("cir"))
            : Problems.Refused([.. library.Refusals.Select(r => r with { Path = "/with" })]);
    }

    internal static async Task<(ChosenRuns? Runs, JsonHttpResult<ProblemView>? Problem)> ReadAsync(
        RunStore store, CalibrationStore calibrations, string id, string[]? others, string? calibration, CancellationToken cancellationToken)
    {
        if (await store.FindAsync(id, cancellationToken) is not { } record) return (null, RunEndpoints.NoSuchRun(id));
        var read = await ChosenRuns.ReadAsync(store, calibrations, record, others ?? [], calibration, cancellationToken);
        return read.IsAccepted ? (read.Value, null) : (null, Problems.Refused(read.Refusals));
    }
}
