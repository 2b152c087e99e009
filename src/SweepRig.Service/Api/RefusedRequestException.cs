using SweepRig.Domain;

namespace SweepRig.Service.Api;

/// <summary>A request that is refused before its endpoint is entered.</summary>
public sealed class RefusedRequestException(IReadOnlyList<Refusal> refusals) : Exception(string.Join(" ", refusals))
{
    public IReadOnlyList<Refusal> Refusals => refusals;
}
