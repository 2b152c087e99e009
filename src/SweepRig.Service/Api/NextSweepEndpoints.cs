using Microsoft.AspNetCore.Http.HttpResults;
using Microsoft.AspNetCore.Mvc;
using SweepRig.Service.Contract;
using SweepRig.Service.Fits;
using SweepRig.Storage;

namespace SweepRig.Service.Api;

/// <summary>What to sweep next, worked out of the fit of a run.</summary>
public static class NextSweepEndpoints
{
    public static void MapNextSweeps(this IEndpointRouteBuilder api) =>
        api.MapGet("/runs/{id}/next-sweep", ProposeAsync).WithTags("Fits").WithName("getNextSweep").MayNotExist().RefusesInput()
            .WithSummary("Candidate sweeps, ranked by the uncertainty that a wanted quantity (switching, output@DRIVE, everything, or a constant by its name) would have after each." + FitEndpoints.Together);

    private static async Task<Results<Ok<NextSweepView>, JsonHttpResult<ProblemView>>> ProposeAsync(
        RunStore store, CalibrationStore calibrations, Workbench workbench, string id, CancellationToken cancellationToken,
        string? wanted = null, double? highestDriveVolts = null, [FromQuery(Name = "with")] string[]? others = null, string? calibration = null)
    {
        var (runs, problem) = await FitEndpoints.ReadAsync(store, calibrations, id, others, calibration, cancellationToken);
        if (runs is null) return problem!;
        var proposed = await workbench.RunAsync(() => NextSweeps.Propose(runs, wanted, highestDriveVolts, cancellationToken), cancellationToken);
        return proposed.IsAccepted ? TypedResults.Ok(proposed.Value) : Problems.Refused(proposed.Refusals);
    }
}
