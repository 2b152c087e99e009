using Microsoft.AspNetCore.Http.HttpResults;
using SweepRig.Service.Contract;
using SweepRig.Service.Studies;
using SweepRig.Storage;

namespace SweepRig.Service.Api;

/// <summary>What a study found.</summary>
public static class StudyEndpoints
{
    public static void MapStudies(this IEndpointRouteBuilder api) =>
        api.MapGroup("/runs").WithTags("Studies").MapGet("/{id}/study", FindAsync).WithName("getStudy").MayNotExist().RefusesInput()
            .WithSummary("The study that a run belongs to: exploration of positive drive, soak, warm-up study, life test or repeats, made anew from its runs.");

    private static async Task<Results<Ok<StudyView>, JsonHttpResult<ProblemView>>> FindAsync(
        RunStore store, CalibrationStore calibrations, string id, CancellationToken cancellationToken, string? calibration = null)
    {
        if (await store.FindAsync(id, cancellationToken) is not { } run) return RunEndpoints.NoSuchRun(id);
        if (run.Header.Study is null) return Problems.NotFound($"a study that run {id} belongs to", RecordedStudy.Begin(run.Header.Tube.Label));
        var study = await RecordedStudy.ReadAsync(store, calibrations, run, calibration, cancellationToken);
        return study.IsAccepted ? TypedResults.Ok(study.Value.View) : Problems.Refused(study.Refusals);
    }
}
