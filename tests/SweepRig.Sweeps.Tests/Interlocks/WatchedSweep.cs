using SweepRig.Domain.Interlocks;
using SweepRig.Domain.Rigs;
using SweepRig.Sweeps.Interlocks;
using SweepRig.Sweeps.Interlocks.Invariants;
using SweepRig.Sweeps.Tests.Support;

namespace SweepRig.Sweeps.Tests.Interlocks;

/// <summary>The machine in the middle of a warm sweep up to 24 V under a permit, fed event by event; its invariants are looked at after each.</summary>
internal sealed class WatchedSweep
{
    public static readonly DateTimeOffset Start = new(2026, 3, 14, 9, 0, 0, TimeSpan.Zero);

    public static readonly PassFacts Pass = new(IsSweep: true)
    {
        RailVolts = 28, HeaterVolts = 6.3, WarmSeconds = 40, PointSeconds = 0.01, StopperOhms = 4_700, PlateWatts = 2, ScreenWatts = 0.5,
    };

    public static readonly HostLimits Limits = HostLimits.Of(Samples.Rig.HardLimits, RigCalibration.Nominal(Samples.Rig));

    public WatchedSweep(HostLimits? limits = null, PassFacts? pass = null)
    {
        Next(new InterlockEvent.LinkUp(limits ?? Limits));
        Next(new InterlockEvent.PermitGranted(new(Guid.Empty, new(24), TimeSpan.FromHours(1), "rules", Start)));
        Next(new InterlockEvent.SweepArmed(24));
        Next(new InterlockEvent.PassBegun(pass ?? Pass, 0));
    }

    public InterlockState State { get; private set; } = InterlockState.Initial;

    public TripCause? Cause => State.Trip?.Cause;

    public WatchedSweep Next(InterlockEvent happened, double seconds = 0)
    {
        var (before, now) = (State, Start.AddSeconds(seconds));
        var step = InterlockMachine.Next(before, happened, now);
        Assert.Null(StepInvariants.Broken(new(before, happened, step, now))?.Statement);
        State = step.State;
        return this;
    }

    public WatchedSweep Block(BlockSummary block) => Next(new InterlockEvent.Block(block, block.LastSeconds), block.LastSeconds);

    /// <summary>Eight samples of a sound tube at -1 V, the last of them at this time of the rig.</summary>
    public static BlockSummary Sound(double seconds) => new(-1, -1, 1e-6, 2e-3, 27.9, 28.1)
    {
        MinDrive = -1.1, ReadBackError = 0.02, MinGridCurrent = -1e-6, GridWatts = 0, PlateWatts = 0.05, ScreenWatts = 0.05, CathodeAtTop = 2e-3, Count = 8,
        FirstSeconds = seconds - 0.07, LastSeconds = seconds,
    };
}
