using SweepRig.Domain.Interlocks;

namespace SweepRig.Sweeps.Interlocks.Invariants;

/// <summary>The rig's latch before and after something reached the rig.</summary>
/// <param name="Before">First cause before; null if it was clear.</param>
/// <param name="FiringBefore">Number of the latest firing before.</param>
/// <param name="After">First cause after; null if it is clear.</param>
/// <param name="FiringAfter">Number of the latest firing after.</param>
/// <param name="Named">Firing that a release named which has just been delivered; null if it was something else.</param>
/// <param name="CausePresent">True while something holds that would fire the latch.</param>
/// <param name="Reset">True if the rig was reset in between.</param>
public readonly record struct LatchMove(TripCause? Before, int FiringBefore, TripCause? After, int FiringAfter, int? Named, bool CausePresent, bool Reset);

/// <summary>What holds of every move of a rig's latch.</summary>
public static class LatchInvariants
{
    private const string Latching = "ISO 13850:2015, 4.1.4: the effect of a stop stays until it is reset by a deliberate act (from memory)";
    private const string FirstOut = "ISA-18.1-1979, first-out sequences (from memory)";

    public static IReadOnlyList<Invariant<LatchMove>> All { get; } =
    [
        new("latch-opens-by-release", "The latch of a rig opens by a release that names its latest firing, and by nothing else.", Latching,
            (in m) => m.Before is null || m.After is not null || (m.Named == m.FiringBefore && m.FiringAfter == m.FiringBefore)),
        new("latch-opens-when-gone", "The latch of a rig does not open while a cause is present.", Latching,
            (in m) => m.Before is null || m.After is not null || !m.CausePresent),
        new("latch-keeps-first-cause", "A latch that stays fired keeps cause and number.", FirstOut,
            (in m) => m.Reset || m.Before is null || m.After is null || (m.Before == m.After && m.FiringBefore == m.FiringAfter)),
        new("latch-starts-fired", "A rig comes out of reset with its latch fired.", Latching, (in m) => !m.Reset || m.After is not null),
    ];

    /// <summary>The first statement that a move breaks; null when all hold.</summary>
    public static Invariant<LatchMove>? Broken(in LatchMove move)
    {
        for (var i = 0; i < All.Count; i++)
            if (!All[i].Holds(move)) return All[i];
        return null;
    }
}
