using SweepRig.Domain.Interlocks;
using SweepRig.Domain.Quantities;
using SweepRig.Domain.Rigs;
using SweepRig.Domain.Runs;
using SweepRig.Domain.Tubes;
using SweepRig.Rigs.Link;
using SweepRig.Rigs.Link.Messages;
using Supplies = SweepRig.Rigs.Link.Messages.Supplies;

namespace SweepRig.Rigs.Tests.Link;

public class SessionTests
{
    private static readonly RigProgram Program = new(
        3, [new(170, 1365, 10, 0), new(1365, 170, 10, 10)], 0b1111, 1365, new(2000, 16, 0, 0, 0, 0), new(ConnectionKind.Pentode, 10_000, 100, 4_700));

    private static CancellationToken Cancellation => TestContext.Current.CancellationToken;

    [Fact]
    public async Task Handshake_tells_who_the_rig_is()
    {
        await using var bench = new LinkBench();
        bench.Rig.Start();
        var rig = await bench.OpenedAsync();
        await rig.IntroduceAsync();
        var identity = (await bench.NextAsync<RigEvent.Connected>()).Identity;
        Assert.Equal((1, "scripted 1.0", "in memory", "S-001", 4), (identity.ProtocolVersion, identity.Firmware, identity.Board, identity.SerialNumber, identity.Sockets));
        Assert.Equal(new DriveScale(12, new(-16), new(32)), identity.Drive);
        Assert.Equal(new RigLimits(new(-14), new(26), new(8e-3), new(30e-3), new(0), new(40), 40), identity.HardLimits);
        Assert.Equal(5, identity.Channels.Count);
        Assert.Equal("in memory S-001 on a line in memory", bench.Rig.Name);
    }

    [Fact]
    public async Task Commands_before_the_handshake_are_refused_at_once_with_a_remedy()
    {
        await using var bench = new LinkBench();
        var reply = await bench.Rig.StopAsync(Cancellation);
        Assert.False(reply.Accepted);
        Assert.Equal("not-connected", reply.Code);
        Assert.Contains("a line in memory", reply.Explanation, StringComparison.Ordinal);
        Assert.Contains("Check cable and power", reply.Explanation, StringComparison.Ordinal);
    }

    [Fact]
    public async Task A_program_is_sent_part_by_part_each_after_the_answer_to_the_one_before()
    {
        await using var bench = new LinkBench();
        var rig = await bench.ConnectAsync();
        var reply = bench.Rig.RunAsync(Program, Cancellation);
        var begin = await rig.AcceptAsync<ProgramBegin>();
        Assert.Equal((2, 20, 1365, 2000u, 16, 4700u), (begin.Segments, begin.Points, begin.CeilingCode, begin.DwellMicroseconds, begin.Conversions, begin.GridStopperOhms));
        Assert.Equal(new(begin.Program, 0, 170, 1365, 10, 0), await rig.AcceptAsync<ProgramSegment>());
        Assert.Equal(new(begin.Program, 1, 1365, 170, 10, 10), await rig.AcceptAsync<ProgramSegment>());
        Assert.False(reply.IsCompleted);
        Assert.Equal(begin.Program, (await rig.AcceptAsync<ProgramStart>()).Program);
        Assert.True((await reply).Accepted);
    }

    [Fact]
    public async Task A_request_without_answer_is_repeated_under_the_same_sequence_and_a_late_second_answer_does_no_harm()
    {
        await using var bench = new LinkBench();
        var rig = await bench.ConnectAsync();
        var stop = bench.Rig.StopAsync(Cancellation);
        var (_, first) = await rig.ExpectAsync<Stop>();
        bench.Clock.Advance(LinkProtocol.AnswerTimeout);
        var (_, second) = await rig.ExpectAsync<Stop>();
        Assert.Equal(first, second);
        rig.Ack<Stop>(second);
        Assert.True((await stop).Accepted);

        rig.Ack<Stop>(first);
        var next = bench.Rig.StopAsync(Cancellation);
        var (_, third) = await rig.ExpectAsync<Stop>();
        Assert.NotEqual(first, third);
        rig.Ack<Stop>(first);
        rig.Send(rig.Status());
        await bench.UntilAsync<RigEvent.Status>();
        Assert.False(next.IsCompleted);
        rig.Ack<Stop>(third);
        Assert.True((await next).Accepted);
    }

    [Fact]
    public async Task A_request_never_answered_is_given_up_after_the_stated_number_and_the_link_renewed()
    {
        await using var bench = new LinkBench();
        var rig = await bench.ConnectAsync();
        var stop = bench.Rig.StopAsync(Cancellation);
        for (var attempt = 0; attempt < LinkProtocol.Attempts; attempt++)
        {
            await rig.ExpectAsync<Stop>();
            rig.Send(rig.Status());
            await bench.UntilAsync<RigEvent.Status>();
            bench.Clock.Advance(LinkProtocol.AnswerTimeout);
        }
        var reply = await stop;
        Assert.Equal((false, "no-answer"), (reply.Accepted, reply.Code));
        Assert.Contains("4 times", reply.Explanation, StringComparison.Ordinal);
        Assert.True((await bench.UntilAsync<RigEvent.Disconnected>()).Retrying);
    }

    [Fact]
    public async Task Make_safe_overtakes_what_is_in_flight_and_what_waits()
    {
        await using var bench = new LinkBench();
        var rig = await bench.ConnectAsync();
        var run = bench.Rig.RunAsync(Program, Cancellation);
        await rig.ExpectAsync<ProgramBegin>();
        var waiting = bench.Rig.SetSuppliesAsync(new(true, 6.3, true, 28, 0), Cancellation);
        var safe = bench.Rig.MakeSafeAsync(Cancellation);
        var again = bench.Rig.MakeSafeAsync(Cancellation);
        await rig.AcceptAsync<Safe>();
        await rig.AcceptAsync<Safe>();
        Assert.True((await safe).Accepted);
        Assert.True((await again).Accepted);
        Assert.Equal("latched", (await run).Code);
        var (supplies, request) = await rig.ExpectAsync<Supplies>();
        Assert.Equal(new Supplies(SupplySwitches.Heater | SupplySwitches.PlateRail, 0, 6_300_000, 28_000_000), supplies);
        rig.Send(new Nack(3, request, rig.Session, NackReason.Latched, Nack.NoField, 14, 0));
        Assert.Equal("latched", (await waiting).Code);
    }

    [Theory]
    [InlineData(NackReason.OutOfRange, 3, 45_000_000, 40_000_000, "out-of-range", "plate rail 45 V", "40 V")]
    [InlineData(NackReason.Latched, 255, 4, 0, "latched", "GridCurrent", "Acknowledge")]
    [InlineData(NackReason.Busy, 255, 12, 0, "busy", "program 12", "stop it")]
    [InlineData(NackReason.NotSupported, 2, 6_300_000, 0, "not-supported", "heater 6.3 V", "0 V")]
    public async Task The_rigs_refusals_name_value_limit_and_remedy(NackReason reason, byte field, int value, int limit, string code, string says, string andSays)
    {
        await using var bench = new LinkBench();
        var rig = await bench.ConnectAsync();
        var reply = bench.Rig.SetSuppliesAsync(new(true, 6.3, true, 45, 0), Cancellation);
        var (_, request) = await rig.ExpectAsync<Supplies>();
        rig.Send(new Nack(3, request, rig.Session, reason, field, value, limit));
        var refused = await reply;
        Assert.Equal((false, code), (refused.Accepted, refused.Code));
        Assert.Contains(says, refused.Explanation, StringComparison.Ordinal);
        Assert.Contains(andSays, refused.Explanation, StringComparison.Ordinal);
    }

    [Fact]
    public async Task Limits_are_sealed_and_a_wider_one_is_explained()
    {
        await using var bench = new LinkBench();
        var rig = await bench.ConnectAsync();
        var reply = bench.Rig.SetLimitsAsync(new(new(-14), new(30), new(8e-3), new(30e-3), new(0), new(40), 40), Cancellation);
        var (limits, request) = await rig.ExpectAsync<Limits>();
        Assert.Equal(LimitSeal.Of(limits.Values), limits.Seal);
        Assert.Equal(30_000_000, limits.Values.DriveCeilingMicrovolts);
        rig.Send(new Nack(2, request, rig.Session, NackReason.LooserThanLimit, 1, 30_000_000, 26_000_000));
        var refused = await reply;
        Assert.Equal("looser-than-hard-limit", refused.Code);
        Assert.Contains("drive ceiling 30 V", refused.Explanation, StringComparison.Ordinal);
        Assert.Contains("26 V is in force", refused.Explanation, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData(72.0, "Plate rail 72 V")]
    [InlineData(-1.0, "Plate rail -1 V")]
    [InlineData(double.NaN, "NaN")]
    public async Task What_no_rig_may_be_told_is_refused_before_it_is_sent(double plateRail, string says)
    {
        await using var bench = new LinkBench();
        await bench.ConnectAsync();
        var refused = await bench.Rig.SetSuppliesAsync(new(true, 6.3, true, plateRail, 0), Cancellation);
        Assert.Equal("out-of-range", refused.Code);
        Assert.Contains(says, refused.Explanation, StringComparison.Ordinal);
        Assert.Contains("60 V", refused.Explanation, StringComparison.Ordinal);
    }

    public static TheoryData<string, RigProgram> BadPrograms => new()
    {
        { "Dwell", Program with { Timing = Program.Timing with { DwellMicroseconds = 20_000_000 } } },
        { "Dwell", Program with { Timing = Program.Timing with { DwellMicroseconds = -1 } } },
        { "Conversions", Program with { Timing = Program.Timing with { Conversions = 300 } } },
        { "Mains hertz", Program with { Timing = Program.Timing with { MainsPeriods = 1, MainsHertz = 55 } } },
        { "Mask", Program with { ChannelMask = 32 } },
        { "Points", Program with { Segments = [new(0, 1, 70_000, 0)] } },
        { "Segments", Program with { Segments = [] } },
        { "17 segments; the rig holds 16", Program with { Segments = [.. Enumerable.Repeat(new RigSegment(0, 1, 2, 0), 17)] } },
        { "Grid stopper", Program with { Wiring = Program.Wiring with { GridStopperOhms = 0 } } },
    };

    [Theory]
    [MemberData(nameof(BadPrograms))]
    public async Task A_program_that_the_link_or_rig_cannot_hold_is_refused_before_it_is_sent(string says, RigProgram program)
    {
        await using var bench = new LinkBench();
        await bench.ConnectAsync();
        var refused = await bench.Rig.RunAsync(program, Cancellation);
        Assert.False(refused.Accepted);
        Assert.Contains(says, refused.Explanation, StringComparison.Ordinal);
    }

    [Fact]
    public async Task Samples_come_as_blocks_with_64_bit_time_and_a_lost_frame_is_counted()
    {
        await using var bench = new LinkBench();
        var rig = await bench.ConnectAsync(rigTime: 0xFFFF_0000);
        var number = await StartAsync(bench, rig);
        var builder = new SampleFrameBuilder(number, 0b1111);
        byte[] Frame(int point)
        {
            Assert.True(builder.TryAdd(point, 0x1_0000_0000L + point, 500, SampleFlags.Settled, 16, 3, [1, 2, 3, 4]));
            var wire = new byte[LinkProtocol.MaxWireBytes];
            return wire[..builder.Write(0, wire)];
        }
        rig.SendRaw(Frame(0));
        var first = (await bench.NextAsync<RigEvent.Block>()).Samples;
        Assert.Equal((3, 0, 1), (first.Pass, first.FrameIndex, first.Count));
        Assert.Equal([0x1_0000_0000L], first.SampledAtTicks);
        Assert.Equal([(ushort)4], first.Codes[3]);
        Assert.Empty(first.Codes[4]);

        var damaged = Frame(1);
        damaged[5] ^= 0x10;
        rig.SendRaw(damaged);
        rig.SendRaw(Frame(2));
        Assert.Equal(2, (await bench.NextAsync<RigEvent.Block>()).Samples.FrameIndex);
        rig.Send(new ProgramEnd(number, true, 4, 5));
        var ended = await bench.NextAsync<RigEvent.PassEnded>();
        Assert.Equal((3, true, 4), (ended.Pass, ended.Completed, ended.Frames));
        // Told at once when the first was damaged, then at most once a second.
        for (var i = 0; i < 4; i++)
        {
            bench.Clock.Advance(TimeSpan.FromSeconds(0.4));
            rig.Send(rig.Status());
            await bench.NextAsync<RigEvent.Status>();
        }
        Assert.Equal((1, 2), (bench.Health!.Damaged, bench.Health.Lost));
    }

    /// <summary>A line that keeps copies or moves frames loses nothing by it: what was overtaken is measured again, what comes twice is taken once.</summary>
    [Fact]
    public async Task A_frame_of_samples_that_comes_again_or_too_late_is_dropped_and_the_session_goes_on()
    {
        await using var bench = new LinkBench();
        var rig = await bench.ConnectAsync();
        var number = await StartAsync(bench, rig);
        var builder = new SampleFrameBuilder(number, 0b1111);
        byte[][] frames = [.. Enumerable.Range(0, 3).Select(point =>
        {
            Assert.True(builder.TryAdd(point, rig.Time + point, 500, SampleFlags.Settled, 16, 3, [1, 2, 3, 4]));
            var wire = new byte[LinkProtocol.MaxWireBytes];
            return wire[..builder.Write(0, wire)];
        })];
        rig.SendRaw(frames[1]);
        Assert.Equal(1, (await bench.NextAsync<RigEvent.Block>()).Samples.FrameIndex);
        rig.SendRaw(frames[0]);
        rig.SendRaw(frames[1]);
        rig.Send(new ProgramEnd(number, true, 3, 5));
        Assert.Equal(3, (await bench.NextAsync<RigEvent.PassEnded>()).Frames);
        rig.SendRaw(frames[2]);
        rig.Send(rig.Status());
        await bench.NextAsync<RigEvent.Status>();
        Assert.Single(bench.HostEnds);
    }

    [Fact]
    public async Task A_status_or_trip_that_comes_too_late_is_not_believed()
    {
        await using var bench = new LinkBench();
        var rig = await bench.ConnectAsync();
        var latched = rig.Status(StatusFlags.Latched, TripCause.GridCurrent, 2);
        rig.Send(latched);
        await bench.NextAsync<RigEvent.Tripped>();
        await bench.NextAsync<RigEvent.Status>();
        rig.Send(rig.Status(latch: 3));
        Assert.False((await bench.NextAsync<RigEvent.Status>()).Value.Latched);
        rig.Send(latched);
        foreach (ushort firing in (ushort[])[1, 2]) rig.Send(new Tripped(rig.Session, firing, TripCause.CathodeCurrent, rig.Time, 31_000_000, 30_000_000));
        rig.Send(rig.Status(latch: 3));
        Assert.False((await bench.NextAsync<RigEvent.Status>()).Value.Latched);
        var release = bench.Rig.ReleaseAsync(Cancellation);
        Assert.Equal(3, (await rig.AcceptAsync<Release>()).Latch);
        Assert.True((await release).Accepted);
    }

    [Fact]
    public async Task A_lost_end_is_taken_from_the_status_once()
    {
        await using var bench = new LinkBench();
        var rig = await bench.ConnectAsync();
        var number = await StartAsync(bench, rig);
        rig.Send(rig.Status(StatusFlags.Running, program: number));
        await bench.NextAsync<RigEvent.Status>();
        rig.Send(rig.Status(StatusFlags.Completed, program: number, frames: 3));
        Assert.Equal(3, (await bench.NextAsync<RigEvent.PassEnded>()).Frames);
        await bench.NextAsync<RigEvent.Status>();
        rig.Send(rig.Status(StatusFlags.Completed, program: number, frames: 3));
        await bench.NextAsync<RigEvent.Status>();
    }

    [Fact]
    public async Task A_trip_is_told_once_with_figures_even_if_its_own_frame_is_lost()
    {
        await using var bench = new LinkBench();
        var rig = await bench.ConnectAsync();
        rig.Send(new Tripped(rig.Session, 2, TripCause.GridCurrent, rig.Time, 9_100_000, 8_000_000));
        var trip = (await bench.NextAsync<RigEvent.Tripped>()).Trip;
        Assert.Equal((TripCause.GridCurrent, true, "grid current 9.1 mA", "8 mA"), (trip.Cause, trip.ByRig, trip.Measured, trip.Limit));
        Assert.Equal(new RigTime(rig.Time), trip.RigTime);
        rig.Send(rig.Status(StatusFlags.Latched, TripCause.GridCurrent, 2));
        Assert.Equal(TripCause.GridCurrent, (await bench.NextAsync<RigEvent.Status>()).Value.Cause);
        rig.Send(rig.Status(StatusFlags.Latched, TripCause.EmergencyStop, 3));
        Assert.Equal(TripCause.EmergencyStop, (await bench.NextAsync<RigEvent.Tripped>()).Trip.Cause);
        await bench.NextAsync<RigEvent.Status>();

        var release = bench.Rig.ReleaseAsync(Cancellation);
        Assert.Equal(3, (await rig.AcceptAsync<Release>()).Latch);
        Assert.True((await release).Accepted);
    }

    [Fact]
    public async Task Disposing_ends_the_program_switches_supplies_off_and_closes_the_port()
    {
        var bench = new LinkBench();
        var rig = await bench.ConnectAsync();
        await bench.DisposeAsync();
        await rig.ExpectAsync<Stop>();
        Assert.Equal(SupplySwitches.None, (await rig.ExpectAsync<Supplies>()).Message.Switches);
        await rig.ExpectCloseAsync();
        Assert.True(bench.HostEnds[0].IsClosed);
    }

    private static async Task<ushort> StartAsync(LinkBench bench, ScriptedRig rig)
    {
        var reply = bench.Rig.RunAsync(Program, Cancellation);
        var begin = await rig.AcceptAsync<ProgramBegin>();
        await rig.AcceptAsync<ProgramSegment>();
        await rig.AcceptAsync<ProgramSegment>();
        await rig.AcceptAsync<ProgramStart>();
        Assert.True((await reply).Accepted);
        return begin.Program;
    }
}
