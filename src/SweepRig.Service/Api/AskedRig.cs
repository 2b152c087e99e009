using System.Reflection;
using Microsoft.AspNetCore.Http.Metadata;
using SweepRig.Service.Stations;

namespace SweepRig.Service.Api;

/// <summary>The station that a request is about: that of <c>?rig=NAME</c>, or the first.</summary>
/// <param name="IsNamed">False when the request names none.</param>
public sealed record AskedRig(Station Station, bool IsNamed) : IEndpointParameterMetadataProvider
{
    public const string Parameter = "rig";

    /// <exception cref="RefusedRequestException">No rig has that name.</exception>
    public static ValueTask<AskedRig?> BindAsync(HttpContext context, ParameterInfo parameter)
    {
        _ = parameter;
        var name = context.Request.Query.TryGetValue(Parameter, out var given) ? given.ToString() : null;
        var found = context.RequestServices.GetRequiredService<StationList>().Find(name);
        return found.IsAccepted ? ValueTask.FromResult<AskedRig?>(new(found.Value, name is not null)) : throw new RefusedRequestException(found.Refusals);
    }

    /// <summary>Marks the endpoint as one that concerns a rig, for the API document.</summary>
    public static void PopulateMetadata(ParameterInfo parameter, EndpointBuilder builder) => builder.Metadata.Add(ConcernsRig.Instance);

    /// <summary>Metadata of an endpoint that takes <see cref="Parameter"/>.</summary>
    public sealed class ConcernsRig
    {
        public static ConcernsRig Instance { get; } = new();
    }
}
