using SweepRig.Domain.Plans;

namespace SweepRig.Service.Rounds;

/// <summary>What an operator wants swept.</summary>
/// <param name="Lot">Tubes of this lot; null for any lot.</param>
/// <param name="Labels">These tubes, screened before or not; empty for all that are new.</param>
/// <param name="Sockets">Empty for all of the rig.</param>
/// <param name="Plan">Made of each tube.</param>
public sealed record RoundWish(string? Lot, IReadOnlyList<string> Labels, IReadOnlyList<int> Sockets, SweepPlan Plan);
