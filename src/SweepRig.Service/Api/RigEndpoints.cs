using System.Text.Json;
using SweepRig.Service.Live;
using SweepRig.Service.Stations;

namespace SweepRig.Service.Api;

/// <summary>All rigs of the service at a glance. Whatever concerns one of them takes its name as <c>?rig=NAME</c>.</summary>
public static class RigEndpoints
{
    public static void MapRigs(this IEndpointRouteBuilder api)
    {
        var rigs = api.MapGroup("/rigs").WithTags("Bench");
        rigs.MapGet("", (StationList stations) => TypedResults.Ok(RigGlances.Of(stations))).WithName("listRigs")
            .WithSummary("The rigs of this service and how they are; the first is meant wherever none is named.");
        rigs.MapGet("/schema", () => TypedResults.Ok(JsonElement.Parse(RigsDocument.Schema))).WithName("getRigsSchema")
            .WithSummary("JSON Schema (2020-12) of the list of rigs that a service is started with.");
    }
}
