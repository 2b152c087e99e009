namespace SweepRig.Sweeps.Interlocks.Invariants;

/// <summary>What holds of a rig and its host at every moment, whatever the line between them did.</summary>
public static class BenchInvariants
{
    private const string FailSafe = "IEC 61508-2:2010, 7.4.8: on detection of a fault the safe state is taken (from memory)";
    private const string Watchdog = "IEC 61508-7:2010, A.9.1, watchdog with a time base of its own; IEC 60204-1:2016, 9.2.4 (cableless control): loss of the signal stops (both from memory)";
    private const string Stop = "ISO 13850:2015, 4.1.1: an emergency stop overrides all other functions (from memory)";
    private const string Latching = "ISO 13850:2015, 4.1.4: the effect of a stop stays until it is reset (from memory)";
    private const string NoRestart = "IEC 60204-1:2016, 7.5 and 9.2.3.2: no start but by a deliberate act (from memory)";
    private const string Permissive = "common practice of hazardous modes: by key, limited in time, and off by default; no source";

    public static IReadOnlyList<Invariant<BenchPicture>> All { get; } =
    [
        new("drive-within-the-ceiling", "The drive is never above the ceiling in force in the rig.", FailSafe,
            (in p) => p.Drive <= p.RigCeiling + p.DriveStep / 2),
        new("safe-while-latched", "While the rig's latch is fired, drive is safe, rail off and no program runs.", Latching,
            (in p) => p.LatchedBy is null || p.AtRest),
        new("safe-after-silence", "A rig that nobody has held for its lease is at rest.", Watchdog,
            (in p) => p.Unheld <= p.Lease || p.AtRest),
        new("broken-limit-latches", "While the emergency stop is pressed or a limit broken the rig is latched and at rest.", Stop,
            (in p) => !p.LimitBroken || (p.LatchedBy is not null && p.AtRest)),
        new("session-begins-at-rest", "A session finds the rig at rest, whatever an earlier one left on.", NoRestart, (in p) => !p.Greeted || p.AtRest),
        new("off-stays-off", "What a run had on and the rig confirmed as off stays off until the next run.", NoRestart, (in p) => !p.SwitchedOff || p.AtRest),
        new("no-positive-drive-without-permit", "No drive above 0 V outlives the permit by more than it takes to make safe.", Permissive,
            (in p) => p.Drive <= p.DriveStep / 2 || p.Unpermitted <= p.SafeWithin),
        new("safe-while-tripped", "A host that has tripped has the rig at rest within the time that it takes to make safe, until it is released.", Latching,
            (in p) => p.Tripped is not { } since || since <= p.SafeWithin || p.AtRest),
    ];

    /// <summary>The first statement that a picture breaks; null when all hold.</summary>
    public static Invariant<BenchPicture>? Broken(in BenchPicture picture)
    {
        for (var i = 0; i < All.Count; i++)
            if (!All[i].Holds(picture)) return All[i];
        return null;
    }
}
