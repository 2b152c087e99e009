using SweepRig.Domain.Quantities;
using SweepRig.Domain.Rigs;
using SweepRig.Domain.Tubes;
using SweepRig.Rigs.Bus.Configuration;
using SweepRig.Rigs.Control;

namespace SweepRig.Rigs.Bus;

/// <summary>What a direct bus rig does not do, in words: value, limit, remedy.</summary>
internal static class BusRefusals
{
    /// <summary>A fitted resistor may differ so much from the plan's: two of 5 % (common practice, no source).</summary>
    private const double ResistorTolerance = 0.10;

    public static RigReply NotConnected(string port) => new(
        false, "not-connected", $"The rig on {port} is not connected, so nothing was done. The connection is tried again by itself; what failed stands with the lost connection.");

    public static RigReply Lost(string what) => new(false, "no-answer", $"The connection to the rig was lost before {what} was done.");

    public static RigReply? Latched(BusController rig) => rig.Latch.IsFired
        ? new(false, "latched", $"The rig's latch is fired ({rig.Latch.Cause}). Acknowledge the trip once its cause is gone.")
        : null;

    public static RigReply? Busy(BusController rig) => rig.IsRunning ? new(false, "busy", "The rig is running a program. Wait for its end or stop it.") : null;

    public static RigReply CausePresent(BusController rig) => new(
        false, "cause-present", $"The latch is not released while a cause remains ({rig.PresentCause}). Remove the cause, then acknowledge again.");

    public static RigReply? Limits(RigLimits asked, BusController rig)
    {
        if (!double.IsFinite(asked.PositiveSecondsPerMinute))
            return new(false, "out-of-range", $"A time above 0 V of {asked.PositiveSecondsPerMinute} s per minute is no number; allowed is 0 to 60 s.");
        var before = rig.Limits;
        return rig.Tighten(asked) switch
        {
            null => null,
            0 => Looser("drive floor", asked.DriveFloor, before.DriveFloor),
            1 => Looser("drive ceiling", asked.DriveCeiling, before.DriveCeiling),
            2 => Looser("grid current", asked.GridCurrent, before.GridCurrent),
            3 => Looser("cathode current", asked.CathodeCurrent, before.CathodeCurrent),
            4 => Looser("lowest supply", asked.SupplyMin, before.SupplyMin),
            5 => Looser("highest supply", asked.SupplyMax, before.SupplyMax),
            _ => Looser("time above 0 V in a minute", $"{asked.PositiveSecondsPerMinute} s", $"{before.PositiveSecondsPerMinute} s"),
        };
    }

    public static RigReply? Supplies(SupplySetting asked, BusConfig config, RigLimits limits)
    {
        var sockets = config.Switches.SocketPins.Count;
        if (asked.Socket < 0 || asked.Socket >= sockets)
            return Outside($"socket {asked.Socket}", $"this rig has sockets 0 to {sockets - 1}", "Put the tube in one of these");
        var heater = config.Heater.Voltage.Value;
        if (asked.Heater && !(Math.Abs(asked.HeaterVolts - heater) <= BusWatch.HeaterTolerance * heater))
            return Outside($"a heater voltage of {Text(asked.HeaterVolts)}", $"the heater supply of this rig gives {new Volts(heater)} and cannot be set", "Use a tube or a supply that fits");
        return asked.PlateRail && !(asked.PlateRailVolts <= limits.SupplyMax.Value)
            ? Outside($"a plate rail of {Text(asked.PlateRailVolts)}", $"the limit is {limits.SupplyMax}", "Lower the rail")
            : null;
    }

    public static RigReply? Program(RigProgram program, BusConfig config, BusController rig)
    {
        if (program.Segments.Count is 0 or > 64 || program.Segments.Any(s => s.Points < 1 || s.FirstPoint < 0 || s.FirstPoint + s.Points > 65536) || program.Points > 65535)
            return new(false, "bad-program", $"A program of {program.Segments.Count} segments and {program.Points} points cannot be run; 1 to 64 segments and 1 to 65535 points can. Split the sweep.");
        var timing = program.Timing;
        if (timing.DwellMicroseconds < 0 || timing.SettleTimeoutMicroseconds < 0 || timing.SettleToleranceCodes < 0 || timing.Conversions is < 1 or > 256 || timing.MainsPeriods < 0
            || (timing.MainsPeriods > 0 && timing.MainsHertz is not (50 or 60)) || program.ChannelMask is 0 or > 31)
            return new(false, "bad-program", $"The timing of the program ({timing}) or its channels cannot be run. Plan the sweep again.");
        var round = (long)System.Numerics.BitOperations.PopCount(program.ChannelMask) * config.ConversionMicroseconds;
        if (timing.MainsPeriods > 0 && ProgramRun.MainsMicroseconds(timing) < round)
            return new(false, "bad-program", $"One round of conversions takes {round} µs, longer than {timing.MainsPeriods} mains periods. Average over more periods.");
        var codes = program.Segments.SelectMany(s => new[] { s.FromCode, s.ToCode }).Append(program.CeilingCode).ToArray();
        if (codes.Max() > rig.CeilingCode)
        {
            var why = config.CeilingReason is { } reason ? $", because {reason}" : "";
            return Outside($"a drive up to {new Volts(rig.Drive.ToVolts(codes.Max()))}", $"its ceiling is {rig.Limits.DriveCeiling}{why}", "Stop the sweep at the ceiling or below");
        }
        if (program.Segments.Min(s => Math.Min(s.FromCode, s.ToCode)) < rig.FloorCode)
            return Outside($"a drive down to {new Volts(rig.Drive.ToVolts(codes.Min()))}", $"its floor is {rig.Limits.DriveFloor}", "Start the sweep at the floor or above");
        return Resistor("plate", program.Wiring.PlateResistorOhms, config.Resistors.PlateOhms)
            ?? (program.Wiring.Kind == ConnectionKind.Triode ? null : Resistor("screen", program.Wiring.ScreenResistorOhms, config.Resistors.ScreenOhms))
            ?? Resistor("grid stopper", program.Wiring.GridStopperOhms, config.Resistors.StopperOhms);
    }

    private static RigReply? Resistor(string which, double planned, double fitted) => Math.Abs(planned - fitted) <= ResistorTolerance * fitted
        ? null
        : new(false, "bad-program",
            $"The plan has a {which} resistor of {new Ohms(planned)}, this rig is fitted with {new Ohms(fitted)}: its current limits would be wrong. Correct the plan, or fit the resistor and correct the configuration.");

    private static string Text(double volts) => double.IsFinite(volts) ? new Volts(volts).ToString() : $"{volts} V";

    private static RigReply Outside(string value, string limit, string remedy) => new(false, "out-of-range", $"The rig refuses {value}; {limit}. {remedy}.");

    private static RigReply Looser<T>(string what, T asked, T inForce) => new(
        false, "looser-than-hard-limit", $"The rig refuses a {what} of {asked}; {inForce} is in force. Limits can only be made tighter; those of a session last until the program ends.");
}
