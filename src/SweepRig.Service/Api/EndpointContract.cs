using SweepRig.Service.Contract;

namespace SweepRig.Service.Api;

/// <summary>What an endpoint may answer beside success, stated once for the API document.</summary>
public static class EndpointContract
{
    /// <summary>422 when what was asked is at fault, 409 when the bench is in no state for it.</summary>
    public static RouteHandlerBuilder Refuses(this RouteHandlerBuilder endpoint) => endpoint
        .Produces<ProblemView>(StatusCodes.Status422UnprocessableEntity, Problems.ContentType)
        .Produces<ProblemView>(StatusCodes.Status409Conflict, Problems.ContentType);

    public static RouteHandlerBuilder RefusesInput(this RouteHandlerBuilder endpoint) => endpoint
        .Produces<ProblemView>(StatusCodes.Status422UnprocessableEntity, Problems.ContentType);

    public static RouteHandlerBuilder MayNotExist(this RouteHandlerBuilder endpoint) => endpoint
        .Produces<ProblemView>(StatusCodes.Status404NotFound, Problems.ContentType);
}
