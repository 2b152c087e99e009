using SweepRig.Domain.Interlocks;

namespace SweepRig.Sweeps.Interlocks;

/// <summary>Rules on how far and how long the grid is driven, and on what flows.</summary>
public static class DriveRules
{
    public static InterlockRule DriveCeiling { get; } = new(
        "drive-ceiling", "Drive above what is allowed",
        "The grid is driven further positive than anybody permitted: it glows, emits and never recovers.",
        "Commanded drive and read-back of every block against ceiling, permit and plan, whichever is lowest; trips at once.",
        [TripCause.HostCeiling])
    {
        Limit = new(RuleUnit.Volts, 26, 24, 0, 40, "the reference wiring clamps the drive at 27 V (firmware-notes/wiring/parts.csv, D1), 1 V above this; unattended a tenth below the clamp"),
    };

    public static InterlockRule PermitLength { get; } = new(
        "permit-length", "Positive drive past the end of its permit",
        "A permit that is forgotten lets somebody else's sweep drive the grid positive.",
        "A permit for longer is refused; one that ends under a positive sweep trips, and ends alone otherwise. One that is in force when the bench is left is cut to the unattended length.",
        [TripCause.PermitEnded])
    {
        Limit = new(RuleUnit.Seconds, 28_800, 3_600, 1, 28_800, "one working day; unattended the longest single job that needs one (common practice, no source)"),
    };

    public static InterlockRule PositiveTime { get; } = new(
        "positive-time", "Grid positive for too long",
        "Heat that the grid takes up in seconds it gives off in minutes.",
        "Time above 0 V by the rig's own clock, in each pass and in the last minute (counted in steps of 2 s, the oldest left out); planned sweeps are refused before, and the rig counts by itself.",
        [TripCause.HostPositiveTime])
    {
        Limit = new(RuleUnit.Seconds, 40, 20, 1, 60, "the reference firmware's own budget of 40 s in a minute; unattended half"),
    };

    public static InterlockRule PositiveCharge { get; } = new(
        "positive-charge", "Too much charge into the grid",
        "Current and time together are what heats a grid wire.",
        "Grid current times time above 0 V, in each pass and in the last minute, counted as the time is.",
        [TripCause.HostPositiveCharge])
    {
        Limit = new(RuleUnit.Millicoulombs, 210, 105, 1, 500, "40 s at the 5.1 mA that 24 V can push through the reference stopper of 4.7 kΩ (Ohm's law); unattended half"),
    };

    public static InterlockRule GridCurrent { get; } = new(
        "grid-current", "Too much grid current",
        "Grid 1 is fine wire that sheds little heat: it warps, shorts or becomes an emitter.",
        "Grid current of every block; trips at once. The rig has a limit of its own.",
        [TripCause.HostGridCurrent])
    {
        Limit = new(RuleUnit.Milliamperes, 8, 6, 0.1, 20, "26 V over the reference stopper of 4.7 kΩ cannot push more than 5.5 mA (Ohm's law); half as much again, unattended a tenth"),
    };

    public static InterlockRule CathodeCurrent { get; } = new(
        "cathode-current", "Too much cathode current",
        "An oxide cathode that gives more than it can replace is stripped.",
        "Grid, screen and plate current of every block together; trips at once. The rig has a limit of its own.",
        [TripCause.HostCathodeCurrent])
    {
        Limit = new(RuleUnit.Milliamperes, 30, 25, 1, 100, "small receiving pentodes and triodes are rated for 16 to 30 mA of cathode current (makers' tables, from memory)"),
    };
}
