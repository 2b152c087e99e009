using SweepRig.Domain.Interlocks;
using SweepRig.Domain.Rigs;
using SweepRig.Rigs.Link.Messages;
using SweepRig.Rigs.Simulated;

namespace SweepRig.Rigs.Tests.Simulated;

public class LeaseAndRestartTests
{
    [Fact]
    public void A_host_that_falls_silent_in_a_pass_leaves_the_rig_safe_when_the_lease_ends()
    {
        var host = Host.Warm();
        host.Start(Host.Count(2_000, 16), [host.Drive(-10, 10, 500)]);
        host.Hold(200_000);
        host.Send(new Renew(7));
        var renewed = host.Machine.Now;
        host.Wait(299_999);
        Assert.False(host.Journal.IsSafe);
        host.Wait(1);
        LimitTests.EndsSafe(host, TripCause.LeaseExpired);
        Assert.Equal(renewed + 300_000, host.Trips.Single().TimeMicroseconds);
        Assert.False(host.Ends.Single().Completed);
        Assert.True(host.Journal.HeaterOn);
    }

    [Fact]
    public void With_the_drive_at_safe_the_rail_goes_off_and_nothing_trips()
    {
        var host = Host.Warm();
        Assert.False(host.Journal.IsSafe);
        host.Wait(400_000);
        Assert.True(host.Journal.IsSafe);
        Assert.Empty(host.Trips);
    }

    /// <summary>Once the lease has run out with nothing on, there is no later moment at which it could take anything back.</summary>
    [Fact]
    public void Without_a_hold_no_rail_goes_on_and_no_program_starts()
    {
        var host = Host.Warm();
        host.Wait(400_000);
        host.Send(new SweepRig.Rigs.Link.Messages.Supplies(SupplySwitches.Heater | SupplySwitches.PlateRail, 0, Host.HeaterMicrovolts, 28_000_000));
        host.Start(Host.Count(2_000, 16), [host.Drive(-10, 10, 500)]);
        Assert.Equal([(NackReason.CausePresent, (int)TripCause.LeaseExpired), (NackReason.CausePresent, (int)TripCause.LeaseExpired)], host.Nacks.Select(n => (n.Reason, n.Value)));
        Assert.True(host.Journal.IsSafe);
        Assert.False(host.Machine.IsRunning);

        host.Send(new Renew(7));
        host.Send(new SweepRig.Rigs.Link.Messages.Supplies(SupplySwitches.Heater | SupplySwitches.PlateRail, 0, Host.HeaterMicrovolts, 28_000_000));
        host.Start(Host.Count(2_000, 16), [host.Drive(-10, 10, 500)]);
        Assert.Equal(2, host.Nacks.Count);
        Assert.True(host.Machine.IsRunning);
    }

    [Fact]
    public void Only_the_session_renews()
    {
        var host = Host.Warm();
        host.Start(Host.Count(2_000, 16), [host.Drive(-10, 10, 500)]);
        for (var i = 0; i < 10; i++)
        {
            host.Send(new Renew(8));
            host.Send(new AskStatus());
            host.Wait(70_000);
        }
        LimitTests.EndsSafe(host, TripCause.LeaseExpired);
    }

    [Fact]
    public void The_latch_of_an_expired_lease_is_released_once_the_lease_is_held_again()
    {
        var host = Host.Warm();
        host.Start(Host.Count(2_000, 16), [host.Drive(-10, 10, 500)]);
        host.Wait(400_000);
        host.Send(new Release(host.Trips[0].Latch));
        Assert.Equal((NackReason.CausePresent, (int)TripCause.LeaseExpired), (host.Nacks[^1].Reason, host.Nacks[^1].Value));
        host.Send(new Renew(7));
        host.Send(new Release(host.Trips[0].Latch));
        Assert.False(host.Latest.Flags.HasFlag(StatusFlags.Latched));
    }

    [Fact]
    public void Heaters_go_off_a_minute_after_the_last_word_of_the_host()
    {
        var host = Host.Warm();
        host.Wait(59_900_000);
        Assert.True(host.Journal.HeaterOn);
        host.Wait(200_000);
        Assert.False(host.Journal.HeaterOn);
    }

    [Theory]
    [InlineData(ResetReason.Watchdog, TripCause.Watchdog)]
    [InlineData(ResetReason.BrownOut, TripCause.BrownOut)]
    [InlineData(ResetReason.External, TripCause.PowerUp)]
    public void A_restart_writes_the_safe_code_first_and_starts_latched_without_session_or_limits(ResetReason reason, TripCause cause)
    {
        var host = Host.Warm();
        host.Limit(SimulatedRigDefaults.HardLimits with { DriveCeiling = new(1) });
        host.Start(Host.Count(2_000, 16), [host.Drive(-10, 0, 500)], ceiling: host.Options.Drive.ToCodeAtOrBelow(new(0)));
        host.Hold(50_000);
        var at = host.Machine.Now + 10_000;
        var boot = host.Identities[^1].Boot;
        host.Restarts.Clear();
        host.Machine.Inject([new SimulatedFault.Restart(reason) { FromMicroseconds = at }]);
        host.Wait(250_000);

        var entries = host.Journal.Snapshot().ToList();
        var restart = entries.FindLastIndex(e => e.Kind == JournalKind.Restarted);
        Assert.Equal((at, (int)reason), (entries[restart].AtMicroseconds, entries[restart].Code));
        Assert.Equal((at, JournalKind.DriveWritten, 171), (entries[restart + 1].AtMicroseconds, entries[restart + 1].Kind, entries[restart + 1].Code));
        Assert.True(host.Journal.IsSafe);
        Assert.False(host.Journal.HeaterOn);
        Assert.Equal(3, host.Restarts.Count);
        Assert.All(host.Restarts, r => Assert.Equal((reason, boot + 1), (r.LastReset, (int)r.Boot)));

        host.Send(new AskStatus());
        Assert.Equal(NackReason.NoSession, host.Nacks[^1].Reason);
        host.Send(new Hello(9));
        Assert.Equal((boot + 1, 240_000, reason), ((int)host.Identities[^1].Boot, host.Identities[^1].TimeMicroseconds, host.Identities[^1].LastReset));
        var status = host.Latest;
        Assert.Equal((cause, true), (status.Cause, status.Flags.HasFlag(StatusFlags.Latched)));
        host.Limit(SimulatedRigDefaults.HardLimits with { DriveCeiling = new(20) });
        Assert.Equal(LinkMessages.Limits.Number, host.Acks[^1].RequestType);
    }

    [Fact]
    public void Hello_ends_a_running_program_takes_the_rail_off_and_leaves_latch_and_heater()
    {
        var host = Host.Warm();
        host.Start(Host.Count(2_000, 16), [host.Drive(-10, 0, 500)]);
        host.Hold(50_000);
        host.Send(new Hello(8));
        Assert.False(host.Ends.Single().Completed);
        var status = host.Latest;
        // A host that comes back within the lease, and then says Hello again and again on a bad line, must not hold up what an earlier session left on.
        Assert.Equal(StatusFlags.HeaterOn, status.Flags);
        Assert.True(host.Journal.IsSafe);
        Assert.Equal((8, 0), ((int)status.Session, (int)status.Program));
    }
}
