using SweepRig.Service.Contract;
using SweepRig.Service.Hosting;
using SweepRig.Service.Live;
using SweepRig.Service.Vitals;

namespace SweepRig.Service.Api;

/// <summary>For whoever watches over the process, not for the page: outside /api and its document.</summary>
public static class VitalsEndpoints
{
    public const string Live = "/health/live";

    public static void MapVitals(this IEndpointRouteBuilder app) =>
        app.MapGet(Live, (ProcessStart start) => TypedResults.Ok(
            new LiveView("alive", BenchServices.SoftwareVersion, Environment.ProcessId, BenchViews.Utc(start.Utc), start.Ago.TotalSeconds))).ExcludeFromDescription();
}
