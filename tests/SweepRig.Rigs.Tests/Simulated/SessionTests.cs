using SweepRig.Domain.Interlocks;
using SweepRig.Domain.Rigs;
using SweepRig.Rigs.Control;
using SweepRig.Rigs.Link;
using SweepRig.Rigs.Link.Messages;
using SweepRig.Rigs.Simulated;

namespace SweepRig.Rigs.Tests.Simulated;

public class SessionTests
{
    [Fact]
    public void Limits_are_only_ever_tighter_than_those_in_force()
    {
        var hard = SimulatedRigDefaults.HardLimits;
        var host = Host.Warm();
        host.Limit(hard with { GridCurrent = new(9e-3) });
        Assert.Equal((NackReason.LooserThanLimit, 2, 9_000_000, 8_000_000), (host.Nacks[0].Reason, host.Nacks[0].Field, host.Nacks[0].Value, host.Nacks[0].Limit));
        host.Limit(hard with { GridCurrent = new(2e-3) });
        host.Limit(hard with { GridCurrent = new(3e-3) });
        Assert.Equal((2, 3_000_000, 2_000_000), (host.Nacks[1].Field, host.Nacks[1].Value, host.Nacks[1].Limit));
        host.Limit(hard with { GridCurrent = new(2e-3) });
        Assert.Equal(2, host.Nacks.Count);
    }

    [Theory]
    [InlineData(0)]
    [InlineData(1)]
    [InlineData(2)]
    [InlineData(3)]
    [InlineData(4)]
    [InlineData(5)]
    [InlineData(6)]
    public void No_field_of_the_limits_gets_wider_again(int field)
    {
        RigLimits tight = new(new(-10), new(10), new(2e-3), new(20e-3), new(15), new(30), 20);
        RigLimits[] wider =
        [
            tight with { DriveFloor = new(-11) }, tight with { DriveCeiling = new(11) }, tight with { GridCurrent = new(3e-3) }, tight with { CathodeCurrent = new(21e-3) },
            tight with { SupplyMin = new(14) }, tight with { SupplyMax = new(31) }, tight with { PositiveSecondsPerMinute = 21 },
        ];
        var host = Host.Warm();
        host.Limit(tight);
        Assert.Empty(host.Nacks);

        host.Limit(wider[field]);

        Assert.Equal((NackReason.LooserThanLimit, field), (host.Nacks[0].Reason, (int)host.Nacks[0].Field));
    }

    [Fact]
    public void Limits_with_another_seal_are_refused()
    {
        var host = Host.Warm();
        var values = LimitValues.Of(SimulatedRigDefaults.HardLimits);
        host.Send(new SweepRig.Rigs.Link.Messages.Limits(values, LimitSeal.Of(values) ^ 1));
        Assert.Equal(NackReason.BadSeal, host.Nacks.Single().Reason);
    }

    [Fact]
    public void A_changed_bit_of_the_limits_in_memory_stops_each_later_program()
    {
        var host = Host.Warm();
        host.Start(Host.Count(500, 1), [host.Drive(-10, -5, 20)], ceiling: 1000);
        host.RunToEnd();
        Assert.Empty(host.Nacks);
        // The ceiling of 26 V now reads 30.2 V, so that the code for 30 V passes every other check.
        host.Machine.Inject([new SimulatedFault.LimitsDamaged(22)]);
        for (var n = 1; n <= 2; n++)
        {
            host.Start(Host.Count(500, 1), [host.Drive(27, 30, 20)], ceiling: host.Options.Drive.ToCodeAtOrBelow(new(30)));
            Assert.Equal(n, host.Nacks.Count);
            Assert.Equal(NackReason.BadSeal, host.Nacks[^1].Reason);
            Assert.False(host.Machine.IsRunning);
        }
        Assert.All(host.Journal.Snapshot().Where(e => e.Kind == JournalKind.DriveWritten), e => Assert.True(e.Value <= 0));
    }

    [Fact]
    public void Damaged_limits_are_no_way_to_wider_ones()
    {
        var hard = SimulatedRigDefaults.HardLimits;
        var host = Host.Warm();
        host.Machine.Inject([new SimulatedFault.LimitsDamaged(22)]);
        host.Limit(hard with { DriveCeiling = new(30) });
        Assert.Equal((NackReason.LooserThanLimit, 1), (host.Nacks.Single().Reason, host.Nacks.Single().Field));
        // Whole limits, sent again, are sealed again.
        host.Limit(hard);
        host.Start(Host.Count(500, 1), [host.Drive(-10, -5, 20)], ceiling: 1000);
        Assert.Single(host.Nacks);
        Assert.True(host.Machine.IsRunning);
    }

    [Fact]
    public void Each_bit_of_the_ceiling_breaks_the_seal()
    {
        for (var bit = 0; bit <= 30; bit++)
        {
            var limits = new LimitsInForce(SimulatedRigDefaults.HardLimits);
            Assert.True(limits.IsIntact);
            limits.FlipCeilingBit(bit);
            Assert.False(limits.IsIntact, $"bit {bit}");
        }
    }

    [Theory]
    [InlineData(4, 1, 6_300_000, 28_000_000)]
    [InlineData(0, 2, 16_000_000, 28_000_000)]
    [InlineData(0, 3, 6_300_000, 41_000_000)]
    public void Supplies_out_of_range_are_refused_and_change_nothing(byte socket, byte field, uint heater, uint rail)
    {
        var host = Host.Warm();
        var written = host.Journal.Written;
        host.Send(new SweepRig.Rigs.Link.Messages.Supplies(SupplySwitches.Heater | SupplySwitches.PlateRail, socket, heater, rail));
        Assert.Equal((NackReason.OutOfRange, field), (host.Nacks.Single().Reason, host.Nacks.Single().Field));
        Assert.Equal(written, host.Journal.Written);
    }

    [Fact]
    public void Heater_may_warm_while_latched_but_the_rail_stays_off()
    {
        var host = new Host();
        host.Send(new Hello(7));
        host.Send(new SweepRig.Rigs.Link.Messages.Supplies(SupplySwitches.Heater, 0, Host.HeaterMicrovolts, 0));
        Assert.True(host.Journal.HeaterOn);
        host.Send(new SweepRig.Rigs.Link.Messages.Supplies(SupplySwitches.Heater | SupplySwitches.PlateRail, 0, Host.HeaterMicrovolts, 28_000_000));
        Assert.Equal((NackReason.Latched, (int)TripCause.PowerUp), (host.Nacks.Single().Reason, host.Nacks.Single().Value));
        Assert.True(host.Journal.IsSafe);
    }

    [Fact]
    public void A_start_that_is_repeated_runs_the_program_once()
    {
        var host = Host.Warm();
        host.Start(Host.Count(500, 1), [host.Drive(-10, -5, 20)]);
        host.Send(new ProgramStart((ushort)host.ProgramNumber));
        host.RunToEnd();
        host.Send(new ProgramStart((ushort)host.ProgramNumber));
        Assert.False(host.Machine.IsRunning);
        Assert.Single(host.Ends);
        Assert.Empty(host.Nacks);
    }

    [Fact]
    public void A_copy_of_a_request_that_a_newer_one_has_overtaken_is_passed_over()
    {
        var host = Host.Warm();
        host.Hold(70_000);
        var on = new SweepRig.Rigs.Link.Messages.Supplies(SupplySwitches.Heater | SupplySwitches.PlateRail, 0, Host.HeaterMicrovolts, 28_000_000);
        host.Send(on, 100);
        host.Send(on with { Switches = SupplySwitches.Heater }, 101);
        Assert.True(host.Journal.IsSafe);
        var answers = host.Acks.Count + host.Nacks.Count;
        host.Send(on, 100);
        Assert.True(host.Journal.IsSafe);
        Assert.Equal(answers, host.Acks.Count + host.Nacks.Count);

        // The newest may be repeated, numbers go round, and an order to be safe is never too late.
        host.Send(on with { Switches = SupplySwitches.Heater }, 101);
        host.Send(on, 228);
        Assert.Equal(answers + 2, host.Acks.Count);
        Assert.False(host.Journal.IsSafe);
        host.Send(new Safe(), 101);
        Assert.Equal(TripCause.HostOrder, host.Trips.Single().Cause);
        Assert.True(host.Journal.IsSafe);
    }

    [Fact]
    public void A_new_session_numbers_its_requests_anew()
    {
        var host = Host.Warm();
        host.Send(new AskStatus(), 200);
        host.Send(new Hello(8));
        var statuses = host.Statuses.Count;
        host.Send(new AskStatus(), 1);
        Assert.Equal(statuses + 1, host.Statuses.Count);
    }

    [Fact]
    public void A_program_with_a_part_missing_is_not_started()
    {
        var host = Host.Warm();
        host.Send(new ProgramBegin(1, 2, 20, 31, 1000, 100, 1, 0, 0, 0, 0, 0, 10_000, 100, 4_700));
        host.Send(new ProgramSegment(1, 0, 200, 300, 10, 0));
        host.Send(new ProgramStart(1));
        Assert.Equal(NackReason.BadProgram, host.Nacks.Single().Reason);
        Assert.False(host.Machine.IsRunning);
    }

    [Fact]
    public void A_code_below_the_floor_is_refused()
    {
        var host = Host.Warm();
        host.Start(Host.Count(100, 1), [new(100, 300, 10, 0)]);
        Assert.Equal((NackReason.OutOfRange, 2, 100, 171), (host.Nacks[0].Reason, host.Nacks[0].Field, host.Nacks[0].Value, host.Nacks[0].Limit));
        Assert.False(host.Machine.IsRunning);
    }

    [Fact]
    public void A_message_that_makes_no_sense_breaks_the_session_and_leaves_the_rig_safe()
    {
        var host = Host.Warm();
        host.Start(Host.Count(2_000, 16), [host.Drive(-10, 10, 500)]);
        host.Hold(20_000);
        Span<byte> wire = stackalloc byte[LinkProtocol.MaxWireBytes];
        var written = FrameWriter.Write(LinkMessages.Status, 0, [1, 2, 3], wire);
        host.Machine.Receive(wire[..written]);
        Assert.Equal(TripCause.ProtocolFault, host.Trips.Single().Cause);
        Assert.True(host.Journal.IsSafe);
        var sent = host.Wire.Count;
        host.Wait(1_000_000);
        Assert.Equal(sent, host.Wire.Count);
        host.Send(new Hello(8));
        Assert.Equal(8, host.Identities[^1].Session);
    }

    /// <summary>Without a session too: a peer that sends impossible fields is not answered as one that merely forgot its Hello.</summary>
    [Fact]
    public void A_message_that_makes_no_sense_fires_the_latch_without_a_session_as_well()
    {
        var host = Host.Warm();
        Span<byte> wire = stackalloc byte[LinkProtocol.MaxWireBytes];
        host.Machine.Receive(wire[..FrameWriter.Write(LinkMessages.Status, 0, [], wire)]);
        host.Send(new Hello(9));
        host.Send(new Release(host.Latest.Latch));
        host.Machine.Receive(wire[..FrameWriter.Write(LinkMessages.Status, 0, [], wire)]);
        host.Send(new AskStatus());
        Assert.Equal(NackReason.NoSession, host.Nacks[^1].Reason);
        var nacks = host.Nacks.Count;

        host.Machine.Receive(wire[..FrameWriter.Write(LinkMessages.Supplies, 1, [4, 0, 0, 0, 0, 0, 0, 0, 0, 0], wire)]);
        host.Machine.Receive(wire[..FrameWriter.Write(LinkMessages.Stop, 2, [0], wire)]);
        Assert.Equal(nacks, host.Nacks.Count);
    }

    [Fact]
    public void The_flight_record_holds_the_first_two_bytes_of_what_either_side_sent()
    {
        var host = Host.Warm();
        host.Hold(150_000);
        host.Send(new Safe());
        var records = host.Flights.SelectMany(f => f.Skip(2).Chunk(8)).ToList();
        var session = host.Statuses[^1].Session;
        Assert.Contains(records, r => (r[4] & 31) == LinkMessages.Renew.Number && BitConverter.ToUInt16(r, 6) == session);
        var statuses = records.Where(r => (r[4] & 31) == LinkMessages.Status.Number).ToList();
        Assert.NotEmpty(statuses);
        Assert.All(statuses, r => Assert.Equal(session, BitConverter.ToUInt16(r, 6)));
    }

    [Fact]
    public void Noise_on_the_line_is_passed_over()
    {
        var host = Host.Warm();
        var noise = new byte[4096];
        new Random(3).NextBytes(noise);
        host.Machine.Receive(noise);
        host.Machine.Receive([0]);
        host.Send(new AskStatus());
        Assert.Empty(host.Trips);
        Assert.Equal(LinkMessages.AskStatus.Number, host.Acks[^1].RequestType);
    }

    [Fact]
    public void Status_comes_ten_times_a_second_and_stops_for_a_host_long_silent()
    {
        var host = new Host();
        host.Send(new Hello(7));
        host.Hold(1_999_999);
        Assert.Equal(20, host.Statuses.Count);
        host.Wait(60_000_000);
        Assert.InRange(host.Statuses.Count, 49, 50);
    }

    [Fact]
    public void Slow_answers_and_another_version_are_what_they_say()
    {
        var slow = Host.Warm();
        slow.Machine.Inject([new SimulatedFault.SlowAnswers(40_000)]);
        var acks = slow.Acks.Count;
        slow.Send(new AskStatus());
        slow.Wait(39_999);
        Assert.Equal(acks, slow.Acks.Count);
        slow.Wait(1);
        Assert.Equal(acks + 1, slow.Acks.Count);

        var other = new Host(new() { ProtocolVersion = 2 });
        other.Send(new Hello(7));
        Assert.Empty(other.Identities);
        var reader = new FrameReader();
        ReadOnlySpan<byte> all = [0, .. other.Wire];
        Assert.Equal(ReadResult.Frame, reader.Next(ref all, out var frame));
        Assert.Equal(2, frame.Version);
    }

    [Fact]
    public void A_mute_rig_works_on_and_a_refusing_one_changes_nothing()
    {
        var mute = Host.Warm();
        mute.Machine.Inject([new SimulatedFault.Mute()]);
        var sent = mute.Wire.Count;
        mute.Start(Host.Count(500, 1), [mute.Drive(-10, -5, 20)]);
        mute.RunToEnd();
        Assert.Equal(sent, mute.Wire.Count);
        Assert.Contains(mute.Journal.Snapshot(), e => e is { Kind: JournalKind.ProgramEnded, Code: 1 });

        var refusing = Host.Warm();
        refusing.Machine.Inject([new SimulatedFault.RefuseAll(), new SimulatedFault.NoStatus()]);
        var (written, statuses) = (refusing.Journal.Written, refusing.Statuses.Count);
        refusing.Send(new SweepRig.Rigs.Link.Messages.Supplies(SupplySwitches.None, 0, 0, 0));
        refusing.Hold(250_000);
        Assert.Equal(NackReason.NotSupported, refusing.Nacks.Single().Reason);
        Assert.Equal((written, statuses), (refusing.Journal.Written, refusing.Statuses.Count));
    }
}
