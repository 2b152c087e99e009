using System.Text.Json;
using Microsoft.AspNetCore.Http.HttpResults;
using SweepRig.Domain;
using SweepRig.Domain.Plans.Reading;
using SweepRig.Domain.Rigs;
using SweepRig.Domain.Rigs.Documents;
using SweepRig.Service.Calibrations;
using SweepRig.Service.Contract;
using SweepRig.Service.Live;
using SweepRig.Storage;

namespace SweepRig.Service.Api;

/// <summary>Calibrations on record, and the guided one under way.</summary>
public static class CalibrationEndpoints
{
    public static void MapCalibrations(this IEndpointRouteBuilder api)
    {
        var kept = api.MapGroup("/calibrations").WithTags("Calibration");
        kept.MapGet("", ListAsync).WithName("listCalibrations").WithSummary("Calibrations on record, newest first.");
        kept.MapGet("/schema", Schema).WithName("getCalibrationSchema").WithSummary("JSON Schema (2020-12) of a calibration document.");
        kept.MapGet("/{id}", FindAsync).WithName("getCalibration").Produces<JsonElement>().MayNotExist().WithSummary("A calibration as its document.");
        kept.MapPost("/check", CheckAsync).WithName("checkCalibration").Refuses().WithSummary("Checks a calibration document and keeps nothing.");
        kept.MapPost("", ImportAsync).WithName("importCalibration").Refuses().WithSummary("Keeps a calibration of the connected rig from its document.");
        var desk = api.MapGroup("/calibration").WithTags("Calibration");
        desk.MapGet("", (AskedRig rig, CancellationToken c) => AnswerAsync(rig.Station.Calibration.StatusAsync(c))).WithName("getCalibrationStatus").Refuses()
            .WithSummary("What the rig works on, and the calibration under way.");
        desk.MapPost("", BeginAsync).WithName("beginCalibration").Refuses().WithSummary("Begins a calibration of the connected rig, whose tube is out.");
        desk.MapDelete("", (AskedRig rig, CancellationToken c) => AnswerAsync(rig.Station.Calibration.AbandonAsync(c))).WithName("abandonCalibration").Refuses().WithSummary("Gives up the calibration under way.");
        desk.MapPost("/hold", (AskedRig rig, CalibrationStepRequest r, CancellationToken c) => AnswerAsync(rig.Station.Calibration.HoldAsync(r.Step, c))).WithName("holdCalibrationStep").Refuses()
            .WithSummary("Has the rig hold the voltage of a step, under all interlocks.");
        desk.MapPost("/readings", (AskedRig rig, CalibrationReadingRequest r, CancellationToken c) => AnswerAsync(rig.Station.Calibration.ReadAsync(r.Step, r.Value, c))).WithName("takeCalibrationReading").Refuses()
            .WithSummary("Takes what the meter shows. It is on record when this answers.");
        desk.MapPost("/accept", (AskedRig rig, CancellationToken c) => AnswerAsync(rig.Station.Calibration.AcceptAsync(c))).WithName("acceptCalibrationResiduals").Refuses().WithSummary("Accepts the residuals; the checks follow.");
        desk.MapPost("/redo", (AskedRig rig, CalibrationStepRequest r, CancellationToken c) => AnswerAsync(rig.Station.Calibration.RedoAsync(r.Step, c))).WithName("redoCalibrationStep").Refuses()
            .WithSummary("Takes back a step, or all of a place: drive, grid, plate, screen, supply.");
        desk.MapPost("/leave-out-positive", (AskedRig rig, CancellationToken c) => AnswerAsync(rig.Station.Calibration.LeaveOutPositiveAsync(c))).WithName("leaveOutPositivePoints").Refuses()
            .WithSummary("Goes on without the positive points.");
        desk.MapPost("/keep", KeepAsync).WithName("keepCalibration").Refuses().WithSummary("Keeps the finished calibration; the rig works on it from then on.");
    }

    private static Ok<JsonElement> Schema() => TypedResults.Ok(JsonElement.Parse(CalibrationDocument.Schema));

    private static async Task<Ok<CalibrationListView>> ListAsync(CalibrationStore store, TimeProvider time, CancellationToken cancellationToken)
    {
        var now = time.GetUtcNow();
        var kept = await store.ListAsync(null, cancellationToken);
        return TypedResults.Ok(new CalibrationListView([.. kept.Select(c => new CalibrationListItem(c.RigSerialNumber, BenchViews.Of(c.At(now))))]));
    }

    private static async Task<Results<ContentHttpResult, JsonHttpResult<ProblemView>>> FindAsync(CalibrationStore store, string id, CancellationToken cancellationToken) =>
        await store.FindAsync(id, cancellationToken) is { } found
            ? TypedResults.Text(CalibrationDocument.Write(found) + "\n", "application/json; charset=utf-8")
            : Problems.NotFound($"calibration {id}", "GET /api/calibrations lists those that do.");

    private static async Task<Results<Ok<CheckedCalibrationView>, JsonHttpResult<ProblemView>>> CheckAsync(AskedRig rig, ImportCalibrationRequest request, CancellationToken cancellationToken)
    {
        var found = await rig.Station.Calibration.CheckAsync(Read(request), cancellationToken);
        if (!found.IsAccepted) return Problems.Refused(Under("/calibration", found.Refusals));
        var (calibration, kept, used) = found.Value;
        return TypedResults.Ok(new CheckedCalibrationView(calibration.RigSerialNumber, BenchViews.Of(calibration), kept, used));
    }

    private static async Task<Results<Ok<CalibrationView>, JsonHttpResult<ProblemView>>> ImportAsync(AskedRig rig, TimeProvider time, ImportCalibrationRequest request, CancellationToken cancellationToken)
    {
        var kept = await rig.Station.Calibration.ImportAsync(Read(request), cancellationToken);
        return kept.IsAccepted ? TypedResults.Ok(BenchViews.Of(kept.Value.At(time.GetUtcNow()))) : Problems.Refused(Under("/calibration", kept.Refusals));
    }

    private static async Task<Results<Ok<CalibrationStatusView>, JsonHttpResult<ProblemView>>> BeginAsync(AskedRig rig, BeginCalibrationRequest request, CancellationToken cancellationToken)
    {
        var prepared = PreparationChecks.Read(request);
        return prepared.IsAccepted ? await AnswerAsync(rig.Station.Calibration.BeginAsync(prepared.Value, cancellationToken)) : Problems.Refused(prepared.Refusals);
    }

    private static async Task<Results<Ok<CalibrationView>, JsonHttpResult<ProblemView>>> KeepAsync(AskedRig rig, TimeProvider time, CancellationToken cancellationToken)
    {
        var kept = await rig.Station.Calibration.KeepAsync(cancellationToken);
        return kept.IsAccepted ? TypedResults.Ok(BenchViews.Of(kept.Value.At(time.GetUtcNow()))) : Problems.Refused(kept.Refusals);
    }

    private static async Task<Results<Ok<CalibrationStatusView>, JsonHttpResult<ProblemView>>> AnswerAsync(Task<Outcome<CalibrationStatusView>> outcome) =>
        await outcome is { IsAccepted: true } accepted ? TypedResults.Ok(accepted.Value) : Problems.Refused((await outcome).Refusals);

    private static Outcome<RigCalibration> Read(ImportCalibrationRequest request) =>
        request.Calibration.ValueKind != JsonValueKind.String ? CalibrationDocument.Parse(request.Calibration)
        : WholeText.Of(request.Calibration) is { } text ? CalibrationDocument.Parse(text)
        : Outcome<RigCalibration>.Refuse(WholeText.Refused);

    private static IReadOnlyList<Refusal> Under(string root, IReadOnlyList<Refusal> refusals) => [.. refusals.Select(r => r.Code is "rig-not-connected" ? r : r with { Path = root + r.Path })];
}
