using Microsoft.AspNetCore.Http.HttpResults;
using SweepRig.Service.Contract;
using SweepRig.Service.Hosting;
using SweepRig.Service.Live;
using SweepRig.Service.Vitals;

namespace SweepRig.Service.Api;

/// <summary>For whoever watches over the process, not for the page: outside /api and its document.</summary>
public static class VitalsEndpoints
{
    private const string ContentType = "application/health+json";

    public static void MapVitals(this IEndpointRouteBuilder app)
    {
        var health = app.MapGroup("/health").ExcludeFromDescription();
        health.MapGet("/live", Live);
        health.MapGet("/ready", Ready);
    }

    private static JsonHttpResult<LiveView> Live(ProcessStart start) =>
        TypedResults.Json(new LiveView("pass", BenchServices.SoftwareVersion, Environment.ProcessId, BenchViews.Utc(start.Utc), start.Ago.TotalSeconds), (System.Text.Json.JsonSerializerOptions?)null, ContentType);

    private static JsonHttpResult<ReadyView> Ready(Readiness readiness)
    {
        var now = readiness.Now();
        return TypedResults.Json(now, (System.Text.Json.JsonSerializerOptions?)null, ContentType, now.Status == "fail" ? StatusCodes.Status503ServiceUnavailable : StatusCodes.Status200OK);
    }
}
