using System.Text.Json;
using SweepRig.Domain;
using SweepRig.Domain.Plans;

namespace SweepRig.Service.Api;

/// <summary>Takes a plan out of a request, with the faults of both reported at once.</summary>
public static class PlanReading
{
    public static Outcome<SweepPlan> Read(JsonElement plan, IReadOnlyList<Refusal> otherFaults) =>
        throw new NotSupportedException("Plan documents are not in this build yet.");

    /// <summary>Paths of a plan document as they are in a request that holds the plan under <c>plan</c>.</summary>
    public static IReadOnlyList<Refusal> UnderPlan(IReadOnlyList<Refusal> refusals) =>
        [.. refusals.Select(r => r.Path.Length == 0 ? r : r with { Path = "/plan" + r.Path })];
}
