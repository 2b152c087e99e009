using System.Text.Json;
using Microsoft.AspNetCore.Http.HttpResults;
using SweepRig.Service.Contract;
using SweepRig.Service.Types;
using SweepRig.Tubes.Catalogue;

namespace SweepRig.Service.Api;

/// <summary>The type catalogue: what the project brings and the user's own.</summary>
public static class TypeEndpoints
{
    public static void MapTypes(this IEndpointRouteBuilder api)
    {
        var types = api.MapGroup("/types").WithTags("Types");
        types.MapGet("", List).WithName("listTypes").WithSummary("Tube types by name, as the bench took them up when it started.");
        types.MapGet("/schema", Schema).WithName("getTypeSchema").WithSummary("JSON Schema (2020-12) of a tube type.");
        types.MapGet("/{name}", Find).WithName("getType").MayNotExist().WithSummary("A type by name or alias: ratings, limits that a bench keeps, basing, points, sources.");
    }

    private static Ok<TypeListView> List(TypeCatalogue catalogue) => TypedResults.Ok(TypeViewMaker.List(new(catalogue, [])));

    private static Ok<JsonElement> Schema() => TypedResults.Ok(JsonElement.Parse(TypeDocument.Schema));

    private static Results<Ok<TypeDetailView>, JsonHttpResult<ProblemView>> Find(TypeCatalogue catalogue, string name) =>
        catalogue.Find(name) is { } type ? TypedResults.Ok(TypeViewMaker.Detail(type)) : Problems.NotFound($"type {name}", "GET /api/types lists those that there are.");
}
