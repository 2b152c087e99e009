using System.Globalization;
using System.Reflection;
using SweepRig.Domain.Interlocks;
using SweepRig.Domain.Rigs;
using SweepRig.Sweeps.Interlocks;
using SweepRig.Sweeps.Tests.Support;

namespace SweepRig.Sweeps.Tests.Interlocks;

/// <summary>A step of the interlocks as one line: what has changed, then what is ordered.</summary>
internal static class OutcomeText
{
    public static readonly HostLimits Tight = HostLimits.Of(Samples.Rig.HardLimits, RigCalibration.Nominal(Samples.Rig), unattended: true);

    /// <summary>Whatever a state remembers; what is worked out of it cannot be set.</summary>
    private static readonly PropertyInfo[] Kept = [.. typeof(InterlockState).GetProperties().Where(p => p.CanWrite)];

    private static readonly PropertyInfo[] Remembered = [.. typeof(BlockMemory).GetProperties().Where(p => p.CanWrite)];

    public static string Of(InterlockState before, InterlockStep step) => string.Join(", ", [
        .. Kept.Where(p => !Equals(p.GetValue(before), p.GetValue(step.State))).Select(p => $"{p.Name} {Value(p.GetValue(step.State))}"),
        .. step.Orders.Select(Order),
    ]);

    private static string Order(InterlockOrder order) => order switch
    {
        InterlockOrder.RecordTrip record => $"> RecordTrip {record.Trip.Cause}",
        InterlockOrder.LogPermitEnd end => $"> LogPermitEnd {Value(end.Permit)}",
        _ => $"> {order.GetType().Name}",
    };

    private static string Value(object? value) => value switch
    {
        null => "none",
        bool b => b ? "yes" : "no",
        double number => number.ToString("0.######", CultureInfo.InvariantCulture),
        Trip trip => $"{trip.Cause}{(trip.ByRig ? " of the rig" : "")}",
        Permit permit => $"up to {permit.Ceiling.Value.ToString(CultureInfo.InvariantCulture)} V for {permit.Duration:c}",
        HostLimits limits => limits == Tight ? "unattended" : limits == WatchedSweep.Limits ? "attended" : "others",
        PassFacts pass => pass == WatchedSweep.Pass ? "the pass" : "another",
        ClockMemory clock => string.Join('/', new[] { clock.SilentSince, clock.RigLast, clock.RigFrom, clock.HostFrom, clock.WallAhead, clock.Told, clock.StatusAt }.Select(t => Value(t))) + (clock.Heard ? "/heard" : ""),
        BlockMemory memory => memory.Equals(BlockMemory.None) ? "nothing"
            : $"({string.Join(' ', Remembered.Where(p => !Equals(p.GetValue(memory), p.GetValue(BlockMemory.None))).Select(p => $"{p.Name} {Value(p.GetValue(memory))}"))})",
        Exposure exposure => $"{Value(exposure.PassSeconds)} s of the pass, {Value(exposure.MinuteSeconds)} s of the minute",
        (double first, double second) => $"{Value(first)}/{Value(second)}",
        Climb climb => $"{Value(climb.BaseAmps * 1e3)} mA at {Value(climb.Drive)} V",
        _ => string.Create(CultureInfo.InvariantCulture, $"{value}"),
    };
}
