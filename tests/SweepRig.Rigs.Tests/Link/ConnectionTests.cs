using SweepRig.Domain.Interlocks;
using SweepRig.Domain.Rigs;
using SweepRig.Domain.Tubes;
using SweepRig.Rigs.Link;
using SweepRig.Rigs.Link.Host;
using SweepRig.Rigs.Link.Messages;

namespace SweepRig.Rigs.Tests.Link;

/// <summary>How a connection begins, is kept, ends and comes back.</summary>
public class ConnectionTests
{
    private static readonly RigProgram Program = new(
        0, [new(170, 1365, 10, 0)], 0b1111, 1365, new(2000, 16, 0, 0, 0, 0), new(ConnectionKind.Triode, 10_000, 100, 4_700));

    private static CancellationToken Cancellation => TestContext.Current.CancellationToken;

    [Fact]
    public async Task The_lease_is_renewed_every_70_ms()
    {
        await using var bench = new LinkBench();
        var rig = await bench.ConnectAsync();
        Assert.Equal(rig.Session, (await rig.ExpectAsync<Renew>()).Message.Session);
        for (var i = 0; i < 20; i++)
        {
            bench.Clock.Advance(LinkProtocol.RenewPeriod);
            await rig.ExpectAsync<Renew>();
            rig.Send(rig.Status());
            await bench.NextAsync<RigEvent.Status>();
        }
    }

    [Fact]
    public async Task Half_a_second_of_silence_is_a_lost_link_and_is_tried_again_by_itself()
    {
        await using var bench = new LinkBench();
        var rig = await bench.ConnectAsync();
        bench.Clock.Advance(TimeSpan.FromMilliseconds(499));
        rig.Send(rig.Status());
        await bench.NextAsync<RigEvent.Status>();
        bench.Clock.Advance(TimeSpan.FromMilliseconds(500));
        var lost = await bench.NextAsync<RigEvent.Disconnected>();
        Assert.True(lost.Retrying);
        Assert.Contains("nothing came for 500 ms", lost.Reason, StringComparison.Ordinal);
        Assert.Null(bench.Rig.Identity);
        await rig.ExpectCloseAsync();

        var again = await ReopenedAsync(bench);
        again.Time = rig.Time + 2_000_000;
        await again.IntroduceAsync();
        await bench.NextAsync<RigEvent.Connected>();
    }

    [Fact]
    public async Task A_closed_line_fails_what_was_under_way()
    {
        await using var bench = new LinkBench();
        var rig = await bench.ConnectAsync();
        var stop = bench.Rig.StopAsync(Cancellation);
        await rig.ExpectAsync<Stop>();
        await rig.HangUpAsync();
        Assert.Equal("no-answer", (await stop).Code);
        Assert.Contains("the other end closed it", (await bench.NextAsync<RigEvent.Disconnected>()).Reason, StringComparison.Ordinal);
    }

    [Fact]
    public async Task The_waits_between_attempts_double_up_to_five_seconds_and_the_same_reason_is_told_once()
    {
        Assert.Equal([0.25, 0.5, 1, 2, 4, 5, 5], Enumerable.Range(0, 7).Select(i => LinkRig.DelayAfter(i).TotalSeconds));
        await using var bench = new LinkBench();
        for (var i = 0; i < 3; i++) bench.OpenFaults.Enqueue(new RigPortException("There is no port x."));
        bench.OpenFaults.Enqueue(new RigPortException("The port x is in use."));
        bench.Rig.Start();
        Assert.Equal("There is no port x.", (await bench.NextAsync<RigEvent.Disconnected>()).Reason);
        foreach (var seconds in (double[])[0.25, 0.5, 1, 2]) await bench.Clock.PassAsync(TimeSpan.FromSeconds(seconds));
        await bench.OpenedAsync();
        Assert.Equal("The port x is in use.", (await bench.NextAsync<RigEvent.Disconnected>()).Reason);
        Assert.Equal(5, bench.Attempts);
    }

    [Fact]
    public async Task Another_version_is_refused_naming_both()
    {
        await using var bench = new LinkBench();
        bench.Rig.Start();
        var rig = await bench.OpenedAsync();
        await rig.ExpectAsync<Hello>();
        rig.SendRaw(OtherVersion(2));
        var refused = await bench.NextAsync<RigEvent.Disconnected>();
        Assert.False(refused.Retrying);
        Assert.Contains("speaks version 2", refused.Reason, StringComparison.Ordinal);
        Assert.Contains("speaks version 1", refused.Reason, StringComparison.Ordinal);
    }

    [Fact]
    public async Task Garbage_is_told_with_its_length_and_a_remedy()
    {
        await using var bench = new LinkBench();
        bench.Rig.Start();
        var rig = await bench.OpenedAsync();
        var (_, first) = await rig.ExpectAsync<Hello>();
        var garbage = new byte[1234];
        new Random(1).NextBytes(garbage);
        rig.SendRaw(garbage);
        for (var waited = LinkSession.HelloPeriod; waited < LinkSession.HandshakeTimeout; waited += LinkSession.HelloPeriod)
        {
            bench.Clock.Advance(LinkSession.HelloPeriod);
            Assert.NotEqual(first, (await rig.ExpectAsync<Hello>()).Sequence);
        }
        bench.Clock.Advance(LinkSession.HelloPeriod);
        var reason = (await bench.UntilAsync<RigEvent.Disconnected>()).Reason;
        Assert.Equal("What is on a line in memory does not speak the rig link: 1234 bytes, no valid frame; check the port and the baud rate.", reason);
    }

    [Fact]
    public async Task A_silent_peer_is_told()
    {
        await using var bench = new LinkBench();
        bench.Rig.Start();
        var rig = await bench.OpenedAsync();
        await rig.ExpectAsync<Hello>();
        bench.Clock.Advance(LinkSession.HandshakeTimeout);
        Assert.StartsWith("Nothing answers on a line in memory", (await bench.NextAsync<RigEvent.Disconnected>()).Reason, StringComparison.Ordinal);
    }

    [Fact]
    public async Task An_echo_is_told_from_a_rig()
    {
        await using var bench = new LinkBench();
        bench.Rig.Start();
        var rig = await bench.OpenedAsync();
        var (hello, _) = await rig.ExpectAsync<Hello>();
        rig.Send(hello);
        bench.Clock.Advance(LinkSession.HelloPeriod);
        await rig.ExpectAsync<Hello>();
        bench.Clock.Advance(LinkSession.HandshakeTimeout);
        Assert.Contains("sends back what it is sent", (await bench.NextAsync<RigEvent.Disconnected>()).Reason, StringComparison.Ordinal);
    }

    [Fact]
    public async Task Frames_of_an_earlier_session_do_not_disturb_the_handshake()
    {
        await using var bench = new LinkBench();
        bench.Rig.Start();
        var rig = await bench.OpenedAsync();
        rig.Session = 4711;
        rig.Send(rig.Status(StatusFlags.Latched, TripCause.GridCurrent, 5));
        rig.Send(new ProgramEnd(12, true, 100, 1));
        rig.Send(new Restarted(ResetReason.Watchdog, 9));
        rig.Ack<Hello>(0);
        await rig.IntroduceAsync();
        await bench.NextAsync<RigEvent.Connected>();
        await bench.NextAsync<RigEvent.Status>();
    }

    [Fact]
    public async Task A_restart_in_the_middle_of_a_pass_is_told_and_the_handshake_done_anew()
    {
        await using var bench = new LinkBench();
        var rig = await bench.ConnectAsync();
        var run = bench.Rig.RunAsync(Program, Cancellation);
        await rig.AcceptAsync<ProgramBegin>();
        await rig.ExpectAsync<ProgramSegment>();
        rig.Boot++;
        rig.Time = 100;
        rig.Send(new Restarted(ResetReason.Watchdog, rig.Boot));
        Assert.Equal(ResetReason.Watchdog, (await bench.NextAsync<RigEvent.Restarted>()).Reason);
        var reply = await run;
        Assert.Equal("no-answer", reply.Code);
        Assert.Contains("restarted", reply.Explanation, StringComparison.Ordinal);
        await rig.IntroduceAsync();
        await bench.NextAsync<RigEvent.Connected>();
        await bench.NextAsync<RigEvent.Status>();
        Assert.Single(bench.HostEnds);
    }

    [Fact]
    public async Task A_rig_clock_that_goes_back_is_a_restart()
    {
        await using var bench = new LinkBench();
        var rig = await bench.ConnectAsync(rigTime: 50_000_000);
        rig.Time = 100;
        rig.Send(rig.Status());
        rig.Boot++;
        await rig.IntroduceAsync();
        await bench.NextAsync<RigEvent.Restarted>();
        await bench.NextAsync<RigEvent.Connected>();
    }

    [Fact]
    public async Task A_restart_while_the_cable_was_out_is_told_at_the_next_handshake()
    {
        await using var bench = new LinkBench();
        var rig = await bench.ConnectAsync();
        await rig.HangUpAsync();
        await bench.NextAsync<RigEvent.Disconnected>();
        var again = await ReopenedAsync(bench);
        again.Boot = 8;
        await again.IntroduceAsync();
        await bench.NextAsync<RigEvent.Restarted>();
        await bench.NextAsync<RigEvent.Connected>();
    }

    public static TheoryData<string, byte[]> Nonsense => new()
    {
        { "type", Raw(30, []) },
        { "flags", Raw(23, [1, 0, 0, 0, 0, 0, 0xFF, .. new byte[28]]) },
        { "4 bytes", Raw(23, [1, 2, 3, 4]) },
        { "mask", Raw(24, [1, 0, 0, 0, 0, 0, 0, 0, 0, 0, 1, 0, 0x40, 1]) },
        { "for count 2 and mask 1", Raw(24, [1, 0, 0, 0, 0, 0, 0, 0, 0, 0, 1, 0, 1, 2, .. new byte[9]]) },
    };

    [Theory]
    [MemberData(nameof(Nonsense))]
    public async Task A_good_frame_without_sense_makes_the_rig_safe_and_ends_the_session_with_the_reason(string says, byte[] frame)
    {
        await using var bench = new LinkBench();
        var rig = await bench.ConnectAsync();
        rig.SendRaw(frame);
        await rig.ExpectAsync<Safe>();
        await rig.ExpectCloseAsync();
        var broken = await bench.NextAsync<RigEvent.Disconnected>();
        Assert.Contains(says, broken.Reason, StringComparison.Ordinal);
        Assert.Contains("makes no sense", broken.Reason, StringComparison.Ordinal);
    }

    [Fact]
    public async Task A_rig_that_refuses_to_make_itself_safe_is_renewed_no_longer()
    {
        await using var bench = new LinkBench();
        var rig = await bench.ConnectAsync();
        var safe = bench.Rig.MakeSafeAsync(Cancellation);
        var (_, request) = await rig.ExpectAsync<Safe>();
        rig.Send(new Nack(LinkMessages.Safe.Number, request, rig.Session, NackReason.NotSupported, Nack.NoField, 0, 0));
        Assert.False((await safe.WaitAsync(Deadline.Time)).Accepted);
        await rig.ExpectAsync<Safe>();
        await rig.ExpectCloseAsync();
        var broken = await bench.NextAsync<RigEvent.Disconnected>();
        Assert.True(broken.Retrying);
        Assert.Contains("refused the order to make itself safe", broken.Reason, StringComparison.Ordinal);
    }

    [Fact]
    public async Task A_rig_that_contradicts_itself_is_refused()
    {
        await using var bench = new LinkBench();
        bench.Rig.Start();
        var rig = await bench.OpenedAsync();
        var (hello, request) = await rig.ExpectAsync<Hello>();
        rig.Session = hello.Session;
        rig.Send(new Identity(hello.Session, 1, 1, 1, 1, 0, 300, 16, 8, ResetReason.PowerOn));
        rig.Send(new IdentityText("scripted 1.0", "in memory", "S-001"));
        rig.Send(new IdentityDrive(12, 32_000_000, -16_000_000));
        rig.Send(new IdentityChannel(0, 12, 4, 0, 40_960_000));
        rig.Send(new IdentityLimits(new(-14_000_000, 26_000_000, 1, 1, 0, 1, 1)));
        rig.Ack<Hello>(request);
        var refused = await bench.NextAsync<RigEvent.Disconnected>();
        Assert.False(refused.Retrying);
        Assert.Contains("its drive goes from 32 V to -16 V", refused.Reason, StringComparison.Ordinal);
    }

    [Fact]
    public async Task Damaged_frames_neither_end_the_session_nor_pass_for_life()
    {
        await using var bench = new LinkBench();
        var rig = await bench.ConnectAsync();
        rig.SendRaw([0x05, 1, 2, 3, 4, 0]);
        rig.Send(rig.Status());
        await bench.NextAsync<RigEvent.Status>();
        bench.Clock.Advance(TimeSpan.FromMilliseconds(300));
        rig.SendRaw([0x05, 1, 2, 3, 4, 0]);
        bench.Clock.Advance(TimeSpan.FromMilliseconds(200));
        await bench.NextAsync<RigEvent.Disconnected>();
        Assert.True(bench.Health!.Damaged >= 1);
    }

    private static async Task<ScriptedRig> ReopenedAsync(LinkBench bench)
    {
        await bench.Clock.PassAsync(LinkRig.FirstRetry);
        return await bench.OpenedAsync();
    }

    private static byte[] OtherVersion(int version)
    {
        // The envelope is the same in every version; only the number in the first byte differs.
        byte[] body = [(byte)((version << 5) | 27), 0, 0, 7, 0];
        return Framed(body);
    }

    private static byte[] Raw(int type, byte[] payload) => Framed([(byte)((LinkProtocol.Version << 5) | type), 0, .. payload]);

    private static byte[] Framed(byte[] body)
    {
        byte[] frame = [.. body, .. BitConverter.GetBytes(System.IO.Hashing.Crc32.HashToUInt32(body))];
        var wire = new byte[Cobs.MaxEncodedBytes(frame.Length) + 1];
        return wire[..(Cobs.Encode(frame, wire) + 1)];
    }
}
