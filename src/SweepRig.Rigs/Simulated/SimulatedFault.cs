using SweepRig.Domain;
using SweepRig.Domain.Rigs;

namespace SweepRig.Rigs.Simulated;

/// <summary>Something wrong with the rig, from one rig time to another; for tests of everything above it.</summary>
/// <param name="FromMicroseconds">Time since the simulated rig was first switched on (it does not start again at a restart).</param>
/// <param name="ToMicroseconds">End, not included.</param>
public abstract record SimulatedFault(long FromMicroseconds = 0, long ToMicroseconds = long.MaxValue)
{
    internal bool IsPresent(long now) => now >= FromMicroseconds && now < ToMicroseconds;

    /// <summary>No status is sent.</summary>
    public sealed record NoStatus : SimulatedFault;

    /// <summary>No samples are sent; everything else is.</summary>
    public sealed record NoSamples : SimulatedFault;

    /// <summary>Nothing at all is sent; the rig goes on working.</summary>
    public sealed record Mute : SimulatedFault;

    /// <summary>A channel always converts to one code.</summary>
    public sealed record ChannelStuck(RigChannel Channel, int Code) : SimulatedFault;

    /// <summary>The drive read-back is off by so many volts; the drive itself is right.</summary>
    public sealed record ReadBackOff(double Volts) : SimulatedFault;

    /// <summary>The drive itself is off by so many volts.</summary>
    public sealed record DriveOff(double Volts) : SimulatedFault;

    /// <summary>The DAC gives what this code asks for, whatever is written to it.</summary>
    public sealed record DriveStuck(int Code) : SimulatedFault;

    /// <summary>Every conversion has so much more noise, as standard deviation.</summary>
    public sealed record Noise(double Volts) : SimulatedFault;

    /// <summary>The tube in use conducts more and more: its effective grid voltage rises by so much a second, as where gas or an emitting grid feeds itself.</summary>
    public sealed record Runaway(double VoltsPerSecond) : SimulatedFault;

    /// <summary>The plate rail is off by so many volts while it is on; a sag is negative.</summary>
    public sealed record SupplyOff(double Volts) : SimulatedFault;

    /// <summary>Every request is refused.</summary>
    public sealed record RefuseAll : SimulatedFault;

    /// <summary>A bit of the drive ceiling in the rig's memory changes once, when the host is next heard; a restart mends it.</summary>
    /// <param name="Bit">0 to 30, of the ceiling in microvolts; 22 makes 26 V into 30.2 V.</param>
    public sealed record LimitsDamaged(int Bit = 22) : SimulatedFault;

    /// <summary>Answers are held back for so long.</summary>
    public sealed record SlowAnswers(long Microseconds) : SimulatedFault;

    /// <summary>The emergency-stop input is pressed.</summary>
    public sealed record EmergencyStop : SimulatedFault;

    /// <summary>The rig restarts once when the fault begins.</summary>
    public sealed record Restart(ResetReason Reason) : SimulatedFault;
}
