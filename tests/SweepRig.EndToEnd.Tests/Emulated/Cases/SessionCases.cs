using System.Buffers.Binary;
using System.IO.Hashing;
using SweepRig.Domain.Interlocks;
using SweepRig.EndToEnd.Tests.Emulated.Probe;
using SweepRig.EndToEnd.Tests.Emulated.Rigs;
using SweepRig.Rigs.Link;
using SweepRig.Rigs.Link.Messages;
using SweepRig.Rigs.Simulated;

namespace SweepRig.EndToEnd.Tests.Emulated.Cases;

/// <summary>Hosts that fall silent, come back, are two, or speak another version.</summary>
public sealed class SessionCases
{
    public static TheoryData<RigKind> Rigs => ThreeRigs.All;

    [Theory]
    [MemberData(nameof(Rigs))]
    public async Task A_host_that_falls_silent_in_a_pass_loses_its_lease(RigKind kind)
    {
        await using var bench = await ProbedRig.StartAsync(kind);
        var identity = await Passes.ReadyAsync(bench.Host);
        var mark = bench.Host.Mark;
        await Passes.StartAsync(bench.Host, 1, 0, 5, 1_000, 2_000);
        await Passes.RunningAsync(bench.Host, 1);
        Assert.False(bench.Rig.Journal.IsSafe);

        bench.Host.Renews = false;

        var tripped = await bench.TrippedAsync(mark, TripCause.LeaseExpired, seconds: 2);
        Assert.InRange(identity.LeaseMilliseconds, 100, 300);
        Assert.Equal(0, tripped.Measured);
    }

    [Theory]
    [MemberData(nameof(Rigs))]
    public async Task A_host_that_falls_silent_at_rest_only_loses_the_plate_rail(RigKind kind)
    {
        await using var bench = await ProbedRig.StartAsync(kind);
        await Passes.ReadyAsync(bench.Host);

        bench.Host.Renews = false;

        await bench.Rig.UntilSafeAsync(2);
        var status = await bench.Host.StatusAsync();
        Assert.False(status.Flags.HasFlag(StatusFlags.Latched));
        Assert.True(status.Flags.HasFlag(StatusFlags.HeaterOn));
    }

    [Theory]
    [MemberData(nameof(Rigs))]
    public async Task A_host_that_restarts_in_a_pass_finds_the_drive_safe_and_may_begin_anew(RigKind kind)
    {
        await using var bench = await ProbedRig.StartAsync(kind);
        await Passes.ReadyAsync(bench.Host);
        await Passes.StartAsync(bench.Host, 1, -10, 0, 1_000, 2_000);
        await Passes.RunningAsync(bench.Host, 1);

        await using var next = await bench.AnotherHostAsync();
        await next.HelloAsync(session: 99);

        var status = await next.StatusAsync();
        Assert.Equal(99, status.Session);
        Assert.False(status.Flags.HasFlag(StatusFlags.Running));
        Assert.Equal(Passes.Code(-14), status.DriveCode);
        Assert.Equal(0, status.Program);
        var mark = next.Mark;
        await next.DoAsync(Passes.Rail(on: true));
        await Passes.StartAsync(next, 1, -10, -9, 20, 1_000);
        Assert.True((await next.UntilAsync<ProgramEnd>(mark, _ => true, "the end of the pass")).Completed);
        Assert.Equal(20, Samples(next, mark));
    }

    [Theory]
    [MemberData(nameof(Rigs))]
    public async Task Of_two_hosts_the_newer_has_the_rig_and_the_older_cannot_hold_its_lease(RigKind kind)
    {
        await using var bench = await ProbedRig.StartAsync(kind);
        await Passes.ReadyAsync(bench.Host);
        var older = bench.Host.Session;
        // Both speak on one line; only Hello and Renew of the session count.
        await bench.Host.HelloAsync(session: 77);
        bench.Host.Renews = false;
        var mark = bench.Host.Mark;
        await bench.Host.DoAsync(Passes.Rail(on: true));
        await Passes.StartAsync(bench.Host, 1, 0, 5, 1_000, 2_000);

        using var end = new CancellationTokenSource();
        var renewing = RenewAsync(bench.Host, older, end.Token);
        await bench.TrippedAsync(mark, TripCause.LeaseExpired, seconds: 2);

        await end.CancelAsync();
        await renewing;
    }

    [Theory]
    [MemberData(nameof(Rigs))]
    public async Task A_host_of_another_version_is_not_obeyed(RigKind kind)
    {
        await using var bench = await ProbedRig.StartAsync(kind);
        var mark = bench.Host.Mark;
        await bench.Host.SendRawAsync(InVersion(2, new Hello(5)));
        // The rig goes on telling its own version, by which the host knows.
        await bench.Host.UntilAsync<Restarted>(bench.Host.Mark, _ => true, "after the Hello of version 2");
        await bench.Host.UntilAsync<Restarted>(bench.Host.Mark, _ => true, "again");
        Assert.Empty(bench.Host.All<Identity>(mark));

        await Passes.ReadyAsync(bench.Host);
        await bench.Host.SendRawAsync(InVersion(2, new Safe()));
        var status = await bench.Host.StatusAsync();
        Assert.False(status.Flags.HasFlag(StatusFlags.Latched));
    }

    [Theory]
    [MemberData(nameof(Rigs))]
    public async Task Limits_wider_than_the_hard_ones_are_refused_whole(RigKind kind)
    {
        await using var bench = await ProbedRig.StartAsync(kind);
        await Passes.ReadyAsync(bench.Host);
        var hard = SimulatedRigDefaults.HardLimits;

        var nack = await bench.Host.AskAsync(Passes.Limits(hard with { GridCurrent = new(1e-3), DriveCeiling = new(30) }));

        Assert.Equal(NackReason.LooserThanLimit, nack!.Value.Reason);
        Assert.Equal((1, 30_000_000, 26_000_000), ((int)nack.Value.Field, nack.Value.Value, nack.Value.Limit));
        // Nothing of it was taken: a grid current between the two limits does not trip.
        var mark = bench.Host.Mark;
        await Passes.StartAsync(bench.Host, 1, 10, 12, 20, 1_000);
        Assert.True((await bench.Host.UntilAsync<ProgramEnd>(mark, _ => true, "the end of the pass")).Completed);
    }

    [Theory]
    [MemberData(nameof(Rigs))]
    public async Task Limits_with_a_wrong_seal_are_refused(RigKind kind)
    {
        await using var bench = await ProbedRig.StartAsync(kind);
        await bench.Host.HelloAsync();
        var good = Passes.Limits(SimulatedRigDefaults.HardLimits);
        Assert.Equal(NackReason.BadSeal, (await bench.Host.AskAsync(good with { Seal = good.Seal ^ 1 }))!.Value.Reason);
        Assert.Null(await bench.Host.AskAsync(good));
    }

    [Theory]
    [MemberData(nameof(Rigs))]
    public async Task A_program_that_is_too_long_or_does_not_add_up_is_refused(RigKind kind)
    {
        await using var bench = await ProbedRig.StartAsync(kind);
        var identity = await Passes.ReadyAsync(bench.Host);

        if (identity.SegmentCapacity < 64)
        {
            var nack = await bench.Host.AskAsync(Passes.Begin(1, 64, 0, 1_000, segments: identity.SegmentCapacity + 1));
            Assert.Equal(NackReason.OutOfRange, nack!.Value.Reason);
            Assert.Equal((1, identity.SegmentCapacity + 1, (int)identity.SegmentCapacity), ((int)nack.Value.Field, nack.Value.Value, nack.Value.Limit));
        }
        await bench.Host.DoAsync(Passes.Begin(2, 10, 0, 1_000));
        await bench.Host.DoAsync(new ProgramSegment(2, 0, Passes.Code(-10), Passes.Code(-9), 11, 0));
        var refused = await bench.Host.AskAsync(new ProgramStart(2));
        Assert.Equal(NackReason.BadProgram, refused!.Value.Reason);
        Assert.Equal((11, 10), (refused.Value.Value, refused.Value.Limit));
        Assert.Equal(NackReason.BadProgram, (await bench.Host.AskAsync(new ProgramSegment(2, 1, Passes.Code(-10), Passes.Code(-9), 11, 0)))!.Value.Reason);
    }

    [Theory]
    [MemberData(nameof(Rigs))]
    public async Task A_good_frame_without_sense_fires_the_latch_and_ends_the_session(RigKind kind)
    {
        await using var bench = await ProbedRig.StartAsync(kind);
        await Passes.ReadyAsync(bench.Host);
        var mark = bench.Host.Mark;
        await Passes.StartAsync(bench.Host, 1, -10, 0, 1_000, 2_000);
        await Passes.RunningAsync(bench.Host, 1);

        await bench.Host.SendRawAsync(Framed([(LinkProtocol.Version << 5) | 12, 0]));

        await bench.Rig.UntilSafeAsync(2);
        Assert.Equal(NackReason.NoSession, (await bench.Host.AskAsync(new AskStatus()))!.Value.Reason);
        await bench.Host.HelloAsync();
        Assert.Equal(TripCause.ProtocolFault, (await bench.Host.StatusAsync()).Cause);
        Assert.NotEmpty(bench.Host.Frames(mark));
    }

    private static int Samples(LinkProbe host, int mark)
    {
        var samples = 0;
        foreach (var frame in host.Frames(mark))
            if (frame.Frame.Type == LinkMessages.Samples.Number && SampleFrame.DecodeHeader(frame.Frame, out var header) is null) samples += header.Count;
        return samples;
    }

    private static async Task RenewAsync(LinkProbe host, ushort session, CancellationToken end)
    {
        using var timer = new PeriodicTimer(LinkProtocol.RenewPeriod, TimeProvider.System);
        try
        {
            while (await timer.WaitForNextTickAsync(end)) await host.SendAsync(new Renew(session), 0);
        }
        catch (OperationCanceledException)
        {
            // Told to end.
        }
    }

    private static byte[] InVersion<T>(int version, T message)
        where T : struct, ILinkMessage<T>
    {
        var wire = new byte[LinkProtocol.MaxWireBytes];
        var length = FrameWriter.Write(message, 0, wire);
        var frame = new byte[LinkProtocol.MaxFrameBytes];
        Assert.True(Cobs.TryDecode(wire.AsSpan(0, length - 1), frame, out var count));
        frame[0] = (byte)(version << 5 | frame[0] & 31);
        return Framed(frame.AsSpan(0, count - LinkProtocol.CheckBytes));
    }

    private static byte[] Framed(ReadOnlySpan<byte> body)
    {
        var frame = new byte[body.Length + LinkProtocol.CheckBytes];
        body.CopyTo(frame);
        BinaryPrimitives.WriteUInt32LittleEndian(frame.AsSpan(body.Length), Crc32.HashToUInt32(body));
        var wire = new byte[LinkProtocol.MaxWireBytes];
        var length = Cobs.Encode(frame, wire);
        wire[length++] = 0;
        return wire[..length];
    }
}
