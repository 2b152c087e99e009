using Microsoft.Extensions.Logging.Abstractions;
using SweepRig.Domain.Interlocks;
using SweepRig.Domain.Rigs;
using SweepRig.Domain.Runs;
using SweepRig.Domain.Tubes;
using SweepRig.Rigs.Link;
using SweepRig.Rigs.Simulated;

namespace SweepRig.Rigs.Tests.Simulated;

/// <summary>The service's own end of the link with the simulated rig at the other, in real time.</summary>
[Collection(RealTime.Name)]
public class LinkRigTests
{
    private static readonly TimeSpan Deadline = TimeSpan.FromSeconds(30);

    [Fact]
    public async Task A_whole_pass_over_the_in_process_port()
    {
        await using var rig = new SimulatedRig(new() { HeaterSpeed = 1000 }, TimeProvider.System);
        await using (var host = new LinkRig(new SimulatedRigPort(rig), TimeProvider.System, NullLogger<LinkRig>.Instance))
        {
            var connected = await ConnectAsync(host);
            Assert.Equal("simulated", connected.Board);
            Assert.Equal(SimulatedRigDefaults.HardLimits, connected.HardLimits);
            Assert.Equal(SimulatedRigDefaults.Channels, connected.Channels);
            var blocks = await SweepAsync(host, connected, points: 512, dwell: 200);
            Assert.Equal(Enumerable.Range(0, 512), blocks.SelectMany(b => b.PointIndex).Select(p => (int)p));
            Assert.False(rig.Journal.IsSafe);
        }
        await SimulatedRigTests.UntilAsync(rig, _ => rig.Journal.IsSafe);
        Assert.DoesNotContain(rig.Journal.Snapshot(), e => e.Kind == JournalKind.Tripped);
    }

    [Fact]
    public async Task A_rig_that_fell_silent_mid_pass_is_safe_by_itself_and_its_trip_is_told_after_the_link_is_back()
    {
        await using var rig = new SimulatedRig(new() { HeaterSpeed = 1000 }, TimeProvider.System);
        var port = new Severable(new SimulatedRigPort(rig));
        await using var host = new LinkRig(port, TimeProvider.System, NullLogger<LinkRig>.Instance);
        var identity = await ConnectAsync(host);
        await AcceptedAsync(host.ReleaseAsync(default));
        await AcceptedAsync(host.RunAsync(Program(identity, 2_000, 5_000), default));
        await UntilAsync<RigEvent.Block>(host);
        port.Sever();
        await UntilAsync<RigEvent.Disconnected>(host);
        var trip = await SimulatedRigTests.UntilAsync(rig, e => e.Kind == JournalKind.Tripped);
        Assert.Equal(TripCause.LeaseExpired, trip.Cause);
        Assert.True(rig.Journal.IsSafe);
        var told = await UntilAsync<RigEvent.Tripped>(host);
        Assert.Equal((TripCause.LeaseExpired, true), (told.Trip.Cause, told.Trip.ByRig));
    }

    [Fact]
    public async Task A_restart_of_the_rig_is_told()
    {
        await using var rig = new SimulatedRig(new(), TimeProvider.System);
        await using var host = new LinkRig(new SimulatedRigPort(rig), TimeProvider.System, NullLogger<LinkRig>.Instance);
        await ConnectAsync(host);
        rig.Inject(new SimulatedFault.Restart(ResetReason.Watchdog));
        Assert.Equal(ResetReason.Watchdog, (await UntilAsync<RigEvent.Restarted>(host)).Reason);
        await UntilAsync<RigEvent.Connected>(host);
    }

    [Fact]
    public async Task A_first_connection_is_no_restart()
    {
        await using var rig = new SimulatedRig(new(), TimeProvider.System);
        await SimulatedRigTests.UntilAsync(rig, e => e.Kind == JournalKind.Restarted);
        await using var host = new LinkRig(new SimulatedRigPort(rig), TimeProvider.System, NullLogger<LinkRig>.Instance);
        host.Start();
        Assert.IsType<RigEvent.Connected>(await NextAsync(host));
    }

    [Fact]
    public async Task A_rig_of_another_version_is_refused_with_both_versions_named()
    {
        await using var rig = new SimulatedRig(new() { ProtocolVersion = 2 }, TimeProvider.System);
        await using var host = new LinkRig(new SimulatedRigPort(rig), TimeProvider.System, NullLogger<LinkRig>.Instance);
        host.Start();
        var refused = await UntilAsync<RigEvent.Disconnected>(host);
        Assert.False(refused.Retrying);
        Assert.Contains("2", refused.Reason, StringComparison.Ordinal);
        Assert.Contains("1", refused.Reason, StringComparison.Ordinal);
    }

    [Fact]
    public async Task A_rig_that_is_turned_away_is_told_to_people_and_hears_nothing()
    {
        await using var rig = new SimulatedRig(new() { SerialNumber = "RP-2" }, TimeProvider.System);
        var gate = new Doorkeeper("RP-1");
        await using (var host = new LinkRig(new SimulatedRigPort(rig), TimeProvider.System, NullLogger<LinkRig>.Instance, gate))
        {
            host.Start();
            var refused = await UntilAsync<RigEvent.Disconnected>(host);
            Assert.Equal(("RP-2 is not RP-1", true), (refused.Reason, refused.Retrying));
            Assert.Null(host.Identity);
            Assert.Equal("not-connected", (await host.MakeSafeAsync(default)).Code);
        }
        Assert.True(gate.LeftTimes > 0);
        Assert.DoesNotContain(rig.Journal.Snapshot(), e => e.Kind is JournalKind.Tripped);
    }

    private sealed class Doorkeeper(string wanted) : IRigGate
    {
        private int _left;

        public int LeftTimes => Volatile.Read(ref _left);

        public RigTurnedAway? Enter(RigIdentity rig) => rig.SerialNumber == wanted ? null : new($"{rig.SerialNumber} is not {wanted}", true);

        public void Left() => Interlocked.Increment(ref _left);
    }

    internal static async Task<RigIdentity> ConnectAsync(LinkRig host)
    {
        host.Start();
        return (await UntilAsync<RigEvent.Connected>(host)).Identity;
    }

    /// <summary>Releases, warms, sweeps, and returns the blocks when the pass has ended.</summary>
    internal static async Task<IReadOnlyList<SampleBlock>> SweepAsync(LinkRig host, RigIdentity identity, int points, int dwell)
    {
        await AcceptedAsync(host.ReleaseAsync(default));
        await AcceptedAsync(host.SetSuppliesAsync(new(true, 6.3, true, 28, 0), default));
        await AcceptedAsync(host.RunAsync(Program(identity, points, dwell), default));
        var blocks = new List<SampleBlock>();
        while (true)
        {
            switch (await NextAsync(host))
            {
                case RigEvent.Block block: blocks.Add(block.Samples); break;
                case RigEvent.PassEnded ended:
                    Assert.True(ended.Completed);
                    Assert.Equal(blocks.Count, ended.Frames);
                    return blocks;
                case RigEvent.Tripped tripped: Assert.Fail($"{tripped.Trip}"); break;
                case RigEvent.Disconnected gone: Assert.Fail(gone.Reason); break;
                default: break;
            }
        }
    }

    internal static RigProgram Program(RigIdentity identity, int points, int dwell) => new(
        0, [new((ushort)identity.Drive.ToCode(new(-13)), (ushort)identity.Drive.ToCodeAtOrBelow(new(0)), points, 0)], 0b01111,
        (ushort)identity.Drive.ToCodeAtOrBelow(new(0)), new(dwell, 4, 0, 0, 0, 0), new(ConnectionKind.Pentode, 10_000, 100, 4_700));

    internal static async Task AcceptedAsync(Task<RigReply> reply) => Assert.Equal(RigReply.Done, await reply.WaitAsync(Deadline));

    internal static async Task<T> UntilAsync<T>(LinkRig host)
        where T : RigEvent
    {
        while (true)
            if (await NextAsync(host) is T found) return found;
    }

    internal static Task<RigEvent> NextAsync(LinkRig host) => host.Events.ReadAsync().AsTask().WaitAsync(Deadline);

    /// <summary>A port whose line can be cut without either end being told.</summary>
    private sealed class Severable(IRigPort inner) : IRigPort
    {
        private volatile Action _sever = () => { };

        public string Name => inner.Name;

        public async ValueTask<Stream> OpenAsync(CancellationToken cancellationToken)
        {
            var line = new DeadStream(await inner.OpenAsync(cancellationToken));
            _sever = () => line.Dead = true;
            return line;
        }

        public void Sever() => _sever();
    }

    /// <summary>Swallows what is written and passes on nothing more that is read, once dead.</summary>
    private sealed class DeadStream(Stream inner) : Stream
    {
        public volatile bool Dead;

        public override bool CanRead => true;
        public override bool CanWrite => true;
        public override bool CanSeek => false;
        public override long Length => throw new NotSupportedException();

        public override long Position
        {
            get => throw new NotSupportedException();
            set => throw new NotSupportedException();
        }

        public override async ValueTask<int> ReadAsync(Memory<byte> buffer, CancellationToken cancellationToken = default)
        {
            while (true)
            {
                var count = await inner.ReadAsync(buffer, cancellationToken);
                if (!Dead || count == 0) return count;
            }
        }

        public override ValueTask WriteAsync(ReadOnlyMemory<byte> buffer, CancellationToken cancellationToken = default) =>
            Dead ? ValueTask.CompletedTask : inner.WriteAsync(buffer, cancellationToken);

        public override Task WriteAsync(byte[] buffer, int offset, int count, CancellationToken cancellationToken) =>
            WriteAsync(buffer.AsMemory(offset, count), cancellationToken).AsTask();

        public override int Read(byte[] buffer, int offset, int count) => throw new NotSupportedException();

        public override void Write(byte[] buffer, int offset, int count)
        {
            if (!Dead) inner.Write(buffer, offset, count);
        }

        public override void Flush()
        {
        }

        public override long Seek(long offset, SeekOrigin origin) => throw new NotSupportedException();

        public override void SetLength(long value) => throw new NotSupportedException();

        protected override void Dispose(bool disposing)
        {
            if (disposing) inner.Dispose();
            base.Dispose(disposing);
        }
    }
}
