using Microsoft.AspNetCore.Http.HttpResults;
using SweepRig.Domain;
using SweepRig.Service.Contract;

namespace SweepRig.Service.Api;

/// <summary>Makes problem details (RFC 9457) of refusals and faults.</summary>
public static class Problems
{
    public const string ContentType = "application/problem+json";

    /// <summary>What was asked is at fault (a refusal that points into the request), or the bench is in no state for it.</summary>
    public static JsonHttpResult<ProblemView> Refused(IReadOnlyList<Refusal> refusals)
    {
        var byInput = refusals.Any(r => r.Path.Length > 0);
        return byInput
            ? Of(StatusCodes.Status422UnprocessableEntity, "refused", "Refused as asked", refusals)
            : Of(StatusCodes.Status409Conflict, "not-now", "Not possible in the present state", refusals);
    }

    public static JsonHttpResult<ProblemView> NotFound(string what, string remedy) =>
        Of(StatusCodes.Status404NotFound, "not-found", "Not found", [new Refusal("not-found", "", what, "it must exist", remedy)]);

    public static JsonHttpResult<ProblemView> Of(int status, string kind, string title, IReadOnlyList<Refusal> refusals) =>
        Of(status, kind, title, string.Join(" ", refusals.Select(r => r.ToString())), refusals);

    public static JsonHttpResult<ProblemView> Of(int status, string kind, string title, string detail, IReadOnlyList<Refusal> refusals) =>
        TypedResults.Json(
            new ProblemView($"/problems/{kind}", title, status, detail, [.. refusals.Select(r => new RefusalView(r.Code, r.Path, r.Asked, r.Allowed, r.Remedy))]),
            (System.Text.Json.JsonSerializerOptions?)null, ContentType, status);
}
