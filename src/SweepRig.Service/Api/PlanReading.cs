using System.Text.Json;
using SweepRig.Domain;
using SweepRig.Domain.Plans;

namespace SweepRig.Service.Api;

/// <summary>Takes a plan out of a request, with the faults of both reported at once.</summary>
public static class PlanReading
{
    public static Outcome<SweepPlan> Read(JsonElement document, IReadOnlyList<Refusal> otherFaults)
    {
        var plan = PlanDocument.Parse(document);
        return plan.IsAccepted && otherFaults.Count == 0 ? plan : Outcome<SweepPlan>.Refuse([.. UnderPlan(plan.Refusals, whole: "/plan"), .. otherFaults]);
    }

    /// <summary>Paths of a plan document as they are in a request that holds the plan under <c>plan</c>.</summary>
    /// <param name="whole">Path for a refusal without one: a plan at fault as a whole, or the state of the bench.</param>
    public static IReadOnlyList<Refusal> UnderPlan(IReadOnlyList<Refusal> refusals, string whole = "") =>
        [.. refusals.Select(r => r with { Path = r.Path.Length == 0 ? whole : IsOfRequest(r.Path) ? r.Path : "/plan" + r.Path })];

    /// <summary>The planner judges socket and tube too, which stand beside the plan.</summary>
    private static bool IsOfRequest(string path) =>
        path == "/socket" || path == "/tube" || path.StartsWith("/tube/", StringComparison.Ordinal);

    /// <summary>The plan as a document within a reply.</summary>
    public static JsonElement Write(SweepPlan plan) => JsonElement.Parse(PlanDocument.Write(plan));
}
