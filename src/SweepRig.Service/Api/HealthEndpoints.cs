using Microsoft.AspNetCore.Http.HttpResults;
using SweepRig.Service.Contract;
using SweepRig.Service.Health;
using SweepRig.Service.Live;
using SweepRig.Storage;

namespace SweepRig.Service.Api;

/// <summary>What the screening of a tube says of its health.</summary>
public static class HealthEndpoints
{
    public static void MapHealth(this IEndpointRouteBuilder api) =>
        api.MapGroup("/runs").WithTags("Health").MapGet("/{id}/health", FindAsync).WithName("getHealth").MayNotExist().RefusesInput()
            .WithSummary("The health of the tube: from the screening that the run is a step of, else from the newest screening of the tube.");

    private static async Task<Results<Ok<HealthView>, JsonHttpResult<ProblemView>>> FindAsync(
        RunStore store, CalibrationStore calibrations, string id, CancellationToken cancellationToken, string? calibration = null)
    {
        if (await store.FindAsync(id, cancellationToken) is not { } run) return RunEndpoints.NoSuchRun(id);
        if (await Screenings.StepAsync(store, run, cancellationToken) is not { } step)
            return Problems.NotFound($"a screening of {run.Header.Tube.Label}", $"Screen it: sweeprig screen --tube {run.Header.Tube.Label} --type {run.Header.Tube.TypeName}, while no service has the rig.");
        var report = await RecordedScreening.ReadAsync(store, calibrations, step, calibration, cancellationToken);
        return report.IsAccepted ? TypedResults.Ok(HealthView.Of(report.Value)) : Problems.Refused(report.Refusals);
    }
}
