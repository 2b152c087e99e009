using SweepRig.Domain.Tubes;

namespace SweepRig.Sweeps.Rounds;

/// <summary>A socket with its tube.</summary>
/// <param name="Socket">From 0.</param>
/// <param name="Tube">What was said to be in it.</param>
/// <param name="SeatedAt">When it was plugged in, since the round began.</param>
public sealed record Seat(int Socket, Tube Tube, TimeSpan SeatedAt)
{
    public SeatPhase Phase { get; init; } = SeatPhase.Heating;

    /// <summary>Run of its sweep; null before.</summary>
    public string? RunId { get; init; }

    /// <summary>What is asked about it; null for nothing.</summary>
    public TypeDoubt? Doubt { get; init; }

    /// <summary>End of its sweep; null before.</summary>
    public TimeSpan? SweptAt { get; init; }

    /// <summary>When it was done with; null before.</summary>
    public TimeSpan? DoneAt { get; init; }
}

public enum SeatPhase
{
    /// <summary>Getting warm, or warm and waiting for the rig.</summary>
    Heating,
    Sweeping,

    /// <summary>Swept; its curve is being looked at.</summary>
    Judging,

    /// <summary>Swept; the operator is asked about its type.</summary>
    Doubted,

    /// <summary>Swept; another may take its place.</summary>
    Done,
}

/// <summary>A curve that cannot be of the type on record.</summary>
/// <param name="Says">What speaks against it, one sentence.</param>
/// <param name="Others">Types that it could be, the likeliest first; may be empty.</param>
public sealed record TypeDoubt(string Says, IReadOnlyList<string> Others);

/// <summary>A tube that the round is done with.</summary>
/// <param name="Tube">With the type as it was when it was done.</param>
/// <param name="RunId">Run of its sweep; null where it was put aside before.</param>
/// <param name="Verdict">What came of it, for people.</param>
/// <param name="At">End of its sweep, or when it was put aside, since the round began.</param>
public sealed record RoundResult(Tube Tube, string? RunId, string Verdict, TimeSpan At);

/// <summary>A tube that the operator is to plug in.</summary>
/// <param name="Tube">Which.</param>
/// <param name="Socket">Where; its tube, if there is one, has been swept and comes out.</param>
/// <param name="AskedAt">Since when it could have been done.</param>
public sealed record Placement(Tube Tube, int Socket, TimeSpan AskedAt);
