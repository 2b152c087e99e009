using SweepRig.Domain.Rigs;
using SweepRig.Sweeps.Interlocks;
using SweepRig.Sweeps.Tests.Support;

namespace SweepRig.Sweeps.Tests.Interlocks;

/// <summary>Small changes of the machine that its table did not notice.</summary>
public sealed class InterlockMutantTests
{
    private static readonly DateTimeOffset Now = new(2026, 3, 14, 9, 0, 0, TimeSpan.Zero);
    private static readonly HostLimits Limits = HostLimits.Of(Samples.Rig.HardLimits, RigCalibration.Nominal(Samples.Rig));

    /// <summary>A rig that restarts is linked anew without having been lost: what its status said before counts no more.</summary>
    [Fact]
    public void A_link_that_comes_anew_waits_for_a_new_status()
    {
        var before = InterlockTableTests.States["tripped"] with { StatusSinceTrip = true, RigCausePresent = true, RigBusy = true };
        var after = InterlockMachine.Next(before, new InterlockEvent.LinkUp(Limits), Now).State;
        Assert.Equal((false, false, false), (after.StatusSinceTrip, after.RigCausePresent, after.RigBusy));
    }

    [Fact]
    public void Changed_limits_hold_for_a_linked_rig_alone()
    {
        var changed = Limits with { GridCurrent = 1e-3 };
        var unattended = Limits with { GridCurrent = 1e-4 };
        var linked = InterlockMachine.Next(InterlockTableTests.States["clear"], new InterlockEvent.LimitsChanged(changed, unattended), Now).State;
        Assert.Equal((changed, unattended), (linked.Limits, linked.UnattendedLimits));
        var none = InterlockMachine.Next(InterlockState.Initial, new InterlockEvent.LimitsChanged(changed, unattended), Now).State;
        Assert.Null(none.Limits);
        Assert.Null(none.UnattendedLimits);
    }

    [Fact]
    public void A_permit_allows_up_to_its_end_and_not_at_it()
    {
        var permitted = InterlockTableTests.States["permitted"];
        var ends = permitted.Permit!.EndsUtc;
        Assert.Equal<(double?, double?)>((24, 0), (permitted.AllowedDrive(ends.AddTicks(-1)), permitted.AllowedDrive(ends)));
        Assert.Equal(0, InterlockTableTests.States["clear"].AllowedDrive(Now));
    }
}
