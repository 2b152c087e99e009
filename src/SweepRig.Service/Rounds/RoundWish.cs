using System.Text.Json;
using SweepRig.Domain;
using SweepRig.Domain.Plans;
using SweepRig.Service.Api;
using SweepRig.Service.Contract;

namespace SweepRig.Service.Rounds;

/// <summary>What an operator wants swept.</summary>
/// <param name="Lot">Tubes of this lot; null for any lot.</param>
/// <param name="Labels">These tubes, screened before or not; empty for all that are new.</param>
/// <param name="Sockets">Empty for all of the rig.</param>
/// <param name="Plan">Made of each tube.</param>
public sealed record RoundWish(string? Lot, IReadOnlyList<string> Labels, IReadOnlyList<int> Sockets, SweepPlan Plan)
{
    private const int MostNamed = 1_000;

    /// <returns>The wish, or every fault of the request with its path.</returns>
    public static Outcome<RoundWish> Read(BeginRoundRequest request)
    {
        ArgumentNullException.ThrowIfNull(request);
        var plan = PlanOf(request.Plan);
        List<Refusal> faults = [.. plan.Refusals];
        if (request.Tubes is { Length: > MostNamed } many)
            faults.Add(new("too-many-tubes", "/tubes", $"{many.Length} tubes are named", $"up to {MostNamed} can be", "Name a lot instead, or make two rounds."));
        return faults.Count > 0
            ? Outcome<RoundWish>.Refuse(faults)
            : Outcome<RoundWish>.Accept(new(request.Lot, [.. (request.Tubes ?? []).Select(t => t.Trim().ToUpperInvariant())], request.Sockets ?? [], plan.Value!));
    }

    private static Outcome<SweepPlan> PlanOf(JsonElement plan)
    {
        if (plan.ValueKind != JsonValueKind.String) return PlanReading.Read(plan, []);
        return PlanExamples.Find(plan.GetString()!) is { } example
            ? Outcome<SweepPlan>.Accept(example.Plan)
            : Outcome<SweepPlan>.Refuse(new Refusal("plan-unknown", "/plan", $"plan \"{plan.GetString()}\"", $"examples are {string.Join(", ", PlanExamples.All.Select(e => e.Name))}", "Name one of those, or give a plan document."));
    }
}
