using System.Collections.Immutable;
using SweepRig.Domain.Plans;
using SweepRig.Sweeps.Rounds;

namespace SweepRig.Service.Rounds;

/// <summary>A round as everybody may look at it; immutable, published whole at each change.</summary>
/// <param name="Id">Of this round: a version 7 UUID as 32 hex digits.</param>
/// <param name="Version">Higher at each change.</param>
/// <param name="Lot">As wished; null for any.</param>
/// <param name="Plan">Made of each tube.</param>
/// <param name="Round">Where it stands.</param>
/// <param name="LeftOut">Wished for and not swept.</param>
/// <param name="BeganAt">Timestamp of the clock that the round's times count from.</param>
/// <param name="IsOver">Nothing of it goes on: all were done, or it was ended.</param>
public sealed record RoundPicture(
    string Id, long Version, string? Lot, SweepPlan Plan, Round Round, ImmutableList<LeftOutTube> LeftOut, long BeganAt, DateTimeOffset BeganUtc, bool IsOver);
