using SweepRig.Domain.Interlocks;

namespace SweepRig.Sweeps.Interlocks;

/// <summary>Rules on readings and clocks: what nobody can believe protects nothing.</summary>
public static class ReadingRules
{
    public static InterlockRule ReadBack { get; } = new(
        "read-back", "Drive read back is not the drive sent",
        "A drive that is not what it should be makes every other limit of the drive worthless.",
        "Drive read back against the drive commanded, beyond what the calibration leaves unknown; trips on the second block in a row. The rig compares the two by itself.",
        [TripCause.HostReadBack])
    {
        Limit = new(RuleUnit.Volts, 0.5, 0.4, 0.1, 2, "the reference firmware's own tolerance (firmware-notes/reference/core/watch.c); unattended four fifths"),
    };

    public static InterlockRule ChannelStuck { get; } = new(
        "channel-stuck", "A channel that stands still",
        "A converter that hangs hides every current.",
        "Grid, plate, screen or read-back giving one and the same code in a sweep while the drive, at or below 0 V, moved by this much; plate and screen only while they carry more than 1 V over their resistors.",
        [TripCause.ChannelStuck])
    {
        Limit = new(RuleUnit.Volts, 5, 4, 2, 10, "between cut-off and 0 V no tube carries the same current over 4 V of drive to the code (3/2-power law)"),
    };

    public static InterlockRule ChannelClipped { get; } = new(
        "channel-clipped", "A channel at the end of its range",
        "Behind the end of a range a voltage may be anything.",
        "Samples in a row of a sweep in which a conversion stood at the end of its converter; a point that is held for a meter is let be.",
        [TripCause.ChannelClipped])
    {
        Limit = new(RuleUnit.Samples, 64, 32, 8, 256, "single conversions are clipped by noise near an end, dozens in a row are not (common practice, no source)"),
    };

    public static InterlockRule StaleData { get; } = new(
        "stale-data", "No samples from a pass that runs, or no status",
        "A tube is driven and nobody sees what it does.",
        "Time since the last block while the rig says that it runs a pass, beyond four points of the plan at their slowest, passes without any block counted together; and time since the last status within a pass; trips.",
        [TripCause.StaleData])
    {
        Limit = new(RuleUnit.Seconds, 5, 3, 1, 30, "frames leave the rig at least every 65 ms or one a point; dozens lost in a row are no bad luck (link-protocol.md)"),
    };

    public static InterlockRule RigClock { get; } = new(
        "rig-clock", "The rig's clock stands still or goes back",
        "Dwell, budgets and the lease are counted on it.",
        "Rig clock of the statuses of a run: one that goes back trips at once, and one that over 10 s of the host fell behind by more than this part of them.",
        [TripCause.ClockTrouble])
    {
        Limit = new(RuleUnit.Percent, 90, 80, 50, 95, "a crystal is right to 0.01 %, a ceramic resonator to 1 % (makers' figures, from memory): what is looked for stands still, and a simulated rig on a busy machine must not trip"),
    };

    public static InterlockRule WallClock { get; } = new(
        "wall-clock", "The computer's clock jumps under a permit",
        "Nobody can say how long the permit lasts.",
        "Wall clock against the monotonic one since the permit was granted, sleep of the computer included: the permit ends, and a positive sweep with it.",
        [TripCause.ClockTrouble])
    {
        Limit = new(RuleUnit.Seconds, 10, 5, 1, 60, "a disciplined clock is slewed by at most 0.5 ms in a second and stepped only from 128 ms on (RFC 5905, from memory); summer time does not move UTC"),
    };
}
