using SweepRig.Domain;
using SweepRig.Domain.Interlocks;
using SweepRig.Domain.Rigs;
using SweepRig.Domain.Tubes;
using SweepRig.Rigs.Control;
using SweepRig.Rigs.Link.Messages;
using SweepRig.Rigs.Simulated;
using SweepRig.Rigs.Simulated.Firmware;

namespace SweepRig.Rigs.Tests.Simulated;

/// <summary>Each limit of the firmware alone, with no help of the host: it trips, names itself, and the rig's own record ends safe.</summary>
public class LimitTests
{
    private static readonly RigLimits Hard = SimulatedRigDefaults.HardLimits;

    [Fact]
    public void Grid_current()
    {
        var host = Host.Warm();
        // 1 kilohm instead of 4.7: above 8 mA well before +24 V.
        host.Start(Host.Count(500, 4), [host.Drive(-10, 24, 200)], wiring: new(ConnectionKind.Triode, 10_000, 100, 1_000));
        host.RunToEnd();
        EndsSafe(host, TripCause.GridCurrent);
        Assert.InRange(host.Trips.Single().Measured, 8_000_000, 9_000_000);
        Assert.Equal(8_000_000, host.Trips.Single().Limit);
    }

    [Fact]
    public void Cathode_current()
    {
        var host = Host.Warm(rail: 39.5, socket: 1);
        host.Start(Host.Count(500, 4), [host.Drive(-10, 24, 200)], wiring: new(ConnectionKind.Triode, 100, 100, 3_300));
        host.RunToEnd();
        EndsSafe(host, TripCause.CathodeCurrent);
        Assert.InRange(host.Trips.Single().Measured, 30_000_000, 33_000_000);
    }

    [Fact]
    public void Cathode_current_counts_the_screen_in_pentode_connection()
    {
        var host = Host.Warm();
        host.Limit(Hard with { CathodeCurrent = new(5e-3) });
        // The plate alone can take no more than 28 V / 10 kilohm = 2.8 mA.
        host.Start(Host.Count(500, 4), [host.Drive(-10, 4, 200)]);
        host.RunToEnd();
        EndsSafe(host, TripCause.CathodeCurrent);
    }

    [Fact]
    public void Supply_too_high()
    {
        var host = Host.Warm();
        host.Limit(Hard with { SupplyMax = new(29) });
        host.Machine.Inject([new SimulatedFault.SupplyOff(1.5)]);
        host.Hold(20_000);
        EndsSafe(host, TripCause.SupplyRange);
    }

    [Fact]
    public void Supply_that_sags_during_a_pass_and_not_before()
    {
        var host = Host.Warm();
        host.Limit(Hard with { SupplyMin = new(27) });
        host.Machine.Inject([new SimulatedFault.SupplyOff(-2)]);
        host.Hold(20_000);
        Assert.Empty(host.Trips);
        host.Start(Host.Count(500, 4), [host.Drive(-10, -5, 50)]);
        host.RunToEnd();
        EndsSafe(host, TripCause.SupplyRange);
    }

    [Fact]
    public void Drive_read_back()
    {
        var host = Host.Warm();
        host.Start(Host.Count(500, 4), [host.Drive(-10, -5, 50)]);
        host.Hold(5_000);
        host.Machine.Inject([new SimulatedFault.ReadBackOff(-0.7)]);
        host.RunToEnd();
        EndsSafe(host, TripCause.DriveReadBack);
    }

    [Fact]
    public void The_ceiling_acts_on_one_conversion()
    {
        var host = Host.Warm();
        host.Start(Host.Count(100_000, 1), [host.Drive(25.9, 25.9, 1)]);
        host.Hold(20_000);
        Assert.Empty(host.Trips);
        var since = host.Machine.Now;
        host.Machine.Inject([new SimulatedFault.DriveOff(0.4)]);
        host.Hold(200);
        EndsSafe(host, TripCause.DriveCeiling);
        // Five channels in turn: the first read-back is seen within one round.
        Assert.InRange(host.Trips.Single().TimeMicroseconds - since, 1, 5 * 16 + 30);
    }

    [Fact]
    public void A_code_above_the_ceiling_of_its_program_is_never_written()
    {
        var host = Host.Warm();
        host.Start(Host.Count(500, 4), [host.Drive(-10, 6, 50)], ceiling: host.Options.Drive.ToCodeAtOrBelow(new(0)));
        host.RunToEnd();
        EndsSafe(host, TripCause.DriveCeiling);
        Assert.All(host.Journal.Snapshot().Where(e => e.Kind == JournalKind.DriveWritten), e => Assert.True(e.Value <= 0));
    }

    [Fact]
    public void A_code_above_the_session_ceiling_is_never_written()
    {
        var host = Host.Warm();
        host.Start(Host.Count(500, 4), [host.Drive(-10, 6, 50)]);
        host.Send(new SweepRig.Rigs.Link.Messages.Stop());
        host.Limit(Hard with { DriveCeiling = new(2) });
        host.Start(Host.Count(500, 4), [host.Drive(-10, 6, 50)]);
        Assert.Equal(NackReason.OutOfRange, host.Nacks[0].Reason);
        host.Start(Host.Count(500, 4), [host.Drive(-10, 6, 50)], ceiling: host.Options.Drive.ToCodeAtOrBelow(new(2)));
        host.RunToEnd();
        EndsSafe(host, TripCause.DriveCeiling);
        Assert.All(host.Journal.Snapshot().Where(e => e.Kind == JournalKind.DriveWritten), e => Assert.True(e.Value <= 2));
    }

    [Fact]
    public void Positive_time_runs_out_and_comes_back_with_the_minute()
    {
        var host = Host.Warm();
        host.Limit(Hard with { PositiveSecondsPerMinute = 1.5 });
        var begun = host.Machine.Now;
        host.Start(Host.Count(10_000, 1), [host.Drive(3, 3, 1000)]);
        host.RunToEnd();
        EndsSafe(host, TripCause.PositiveTime);
        Assert.InRange(host.Trips[0].TimeMicroseconds - begun, 1_500_000, 1_500_200);

        host.Send(new SweepRig.Rigs.Link.Messages.Release(host.Trips[0].Latch));
        Assert.Equal((NackReason.CausePresent, (int)TripCause.PositiveTime), (host.Nacks[^1].Reason, host.Nacks[^1].Value));
        host.Hold(61_000_000);
        host.Send(new SweepRig.Rigs.Link.Messages.Release(host.Trips[0].Latch));
        Assert.False(host.Latest.Flags.HasFlag(StatusFlags.Latched));
    }

    [Fact]
    public void Emergency_stop_holds_until_it_is_let_go()
    {
        var host = Host.Warm();
        host.Machine.Inject([new SimulatedFault.EmergencyStop()]);
        host.Hold(2_000);
        EndsSafe(host, TripCause.EmergencyStop);
        host.Send(new SweepRig.Rigs.Link.Messages.Release(host.Trips[0].Latch));
        Assert.Equal(NackReason.CausePresent, host.Nacks.Single().Reason);
        host.Machine.Inject([]);
        host.Hold(2_000);
        Assert.True(host.Latest.Flags.HasFlag(StatusFlags.Latched));
        host.Send(new SweepRig.Rigs.Link.Messages.Release(host.Trips[0].Latch));
        Assert.False(host.Latest.Flags.HasFlag(StatusFlags.Latched));
    }

    [Fact]
    public void An_order_of_the_host_is_a_trip_of_its_own()
    {
        var host = Host.Warm();
        host.Start(Host.Count(500, 4), [host.Drive(-10, 10, 500)]);
        host.Hold(20_000);
        host.Send(new Safe());
        EndsSafe(host, TripCause.HostOrder);
    }

    [Fact]
    public void A_whole_pass_to_the_hard_ceiling_trips_nothing()
    {
        var host = Host.Warm();
        host.Start(Host.Count(200, 4), [host.Drive(-14, 26, 400), host.Drive(26, -14, 400, 400)]);
        host.RunToEnd();
        Assert.Empty(host.Trips);
        Assert.True(host.Ends.Single().Completed);
        Assert.Equal(800, host.Blocks.Sum(b => b.Count));
    }

    [Theory]
    [InlineData(RigChannel.Drive, LimitWatch.ReadBackConversions)]
    [InlineData(RigChannel.Grid, LimitWatch.GridCurrentConversions)]
    [InlineData(RigChannel.Plate, LimitWatch.CathodeCurrentConversions)]
    [InlineData(RigChannel.Supply, LimitWatch.SupplyConversions)]
    public void A_limit_counts_its_own_conversions_in_a_row(RigChannel channel, int needed)
    {
        var options = new SimulatedRigOptions();
        var readings = new RawReadings(options.Channels);
        var watch = new LimitWatch(options.Drive, readings)
        {
            Limits = Hard with { GridCurrent = new(1e-3), CathodeCurrent = new(1e-3), SupplyMax = new(30) },
            Wiring = new(ConnectionKind.Triode, 1_000, 100, 1_000),
        };
        var driveCode = options.Drive.ToCode(new(0));
        // Plate 0 V under a 20 V rail; grid 5 V below the drive; supply 35 V; read-back 3 V beside the drive.
        int Good() => options.Channels[(int)channel].ToCode(new(channel is RigChannel.Plate or RigChannel.Supply ? 20 : 0));
        int Bad() => options.Channels[(int)channel].ToCode(new(channel switch { RigChannel.Plate => 0, RigChannel.Grid => -5, RigChannel.Supply => 35, _ => 3 }));
        _ = watch.Check(RigChannel.Supply, options.Channels[3].ToCode(new(20)), driveCode, 1000, true);
        _ = watch.Check(RigChannel.Grid, options.Channels[1].ToCode(new(0)), driveCode, 1000, true);

        for (var i = 1; i < needed; i++) Assert.Null(watch.Check(channel, Bad(), driveCode, 1000, true));
        Assert.Null(watch.Check(channel, Good(), driveCode, 1000, true));
        for (var i = 1; i < needed; i++) Assert.Null(watch.Check(channel, Bad(), driveCode, 1000, true));
        Assert.NotNull(watch.Check(channel, Bad(), driveCode, 1000, true));
        Assert.NotNull(watch.Broken);
    }

    internal static void EndsSafe(Host host, TripCause cause)
    {
        var trip = Assert.Single(host.Trips);
        Assert.Equal(cause, trip.Cause);
        Assert.False(host.Machine.IsRunning);
        Assert.True(host.Journal.IsSafe);
        var entries = host.Journal.Snapshot().ToList();
        var tripped = entries.FindLastIndex(e => e.Kind == JournalKind.Tripped);
        Assert.Equal(cause, entries[tripped].Cause);
        // Safe first, then told; and nothing drives it afterwards.
        Assert.True(entries.FindLastIndex(e => e.Kind == JournalKind.MadeSafe) < tripped);
        Assert.True(entries.FindLastIndex(e => e.Kind == JournalKind.DriveWritten) < tripped);
        Assert.Equal(host.Options.Drive.ToCode(Hard.DriveFloor), entries.FindLast(e => e.Kind == JournalKind.DriveWritten).Code);
        Assert.InRange(host.FlightRecords, 1, FlightRecorder.Capacity);
        // A program is refused until the latch is released.
        var nacks = host.Nacks.Count;
        host.Start(Host.Count(500, 1), [host.Drive(-10, -9, 2)], ceiling: 0);
        Assert.Equal(NackReason.Latched, host.Nacks[nacks].Reason);
        host.Nacks.RemoveRange(nacks, host.Nacks.Count - nacks);
    }
}
