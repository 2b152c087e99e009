using System.Diagnostics;
using Microsoft.Extensions.Logging.Abstractions;
using SweepRig.Domain.Interlocks;
using SweepRig.Rigs.Link;
using SweepRig.Rigs.Serial;
using SweepRig.Rigs.Simulated;

namespace SweepRig.Rigs.Tests.Simulated;

/// <summary>The service's own end of the link on a real serial port, with the simulated rig behind a pseudo-terminal.</summary>
[Collection(RealTime.Name)]
public sealed class LinkOverPtyTests : IDisposable
{
    private readonly string _directory = Directory.CreateTempSubdirectory("sweeprig-pty-").FullName;

    private string Path => System.IO.Path.Combine(_directory, "rig");

    public void Dispose() => Directory.Delete(_directory, recursive: true);

    [Fact]
    public async Task A_whole_pass_takes_little_longer_than_its_program_says()
    {
        await using var rig = new SimulatedRig(new() { HeaterSpeed = 1000 }, TimeProvider.System);
        using var pty = PtyPort.Open(Path);
        var serving = rig.ServeAsync(pty.Stream, TestContext.Current.CancellationToken);
        await using (var host = new LinkRig(new SerialRigPort(Path, SerialRigPort.DefaultBaud, TimeProvider.System), TimeProvider.System, NullLogger<LinkRig>.Instance))
        {
            var identity = await LinkRigTests.ConnectAsync(host);
            var began = Stopwatch.GetTimestamp();
            var blocks = await LinkRigTests.SweepAsync(host, identity, points: 512, dwell: 2_000);
            var took = Stopwatch.GetElapsedTime(began);
            Assert.Equal(Enumerable.Range(0, 512), blocks.SelectMany(b => b.PointIndex).Select(p => (int)p));
            // 512 points of 2000 us dwell and 4 rounds of 4 channels at 16 us: 1.155 s. The bound is wide because the machine may be shared; the figure is measured elsewhere.
            Assert.InRange(took.TotalSeconds, 1.155, 4);
            Assert.False(rig.Journal.IsSafe);
        }
        Assert.False(serving.IsCompleted);
        await SimulatedRigTests.UntilAsync(rig, _ => rig.Journal.IsSafe);
        Assert.DoesNotContain(rig.Journal.Snapshot(), e => e.Kind == JournalKind.Tripped);
    }

    [Fact]
    public async Task A_cable_pulled_mid_pass_and_put_back_leaves_the_rig_safe_and_the_trip_told()
    {
        await using var rig = new SimulatedRig(new() { HeaterSpeed = 1000 }, TimeProvider.System);
        var pty = PtyPort.Open(Path);
        _ = rig.ServeAsync(pty.Stream, TestContext.Current.CancellationToken);
        await using var host = new LinkRig(new SerialRigPort(Path, SerialRigPort.DefaultBaud, TimeProvider.System), TimeProvider.System, NullLogger<LinkRig>.Instance);
        var identity = await LinkRigTests.ConnectAsync(host);
        await LinkRigTests.AcceptedAsync(host.ReleaseAsync(default));
        await LinkRigTests.AcceptedAsync(host.RunAsync(LinkRigTests.Program(identity, 5_000, 2_000), default));
        await LinkRigTests.UntilAsync<RigEvent.Block>(host);

        pty.Dispose();
        await LinkRigTests.UntilAsync<RigEvent.Disconnected>(host);
        var trip = await SimulatedRigTests.UntilAsync(rig, e => e.Kind == JournalKind.Tripped);
        Assert.Equal(TripCause.LeaseExpired, trip.Cause);
        Assert.True(rig.Journal.IsSafe);

        using var again = PtyPort.Open(Path);
        _ = rig.ServeAsync(again.Stream, TestContext.Current.CancellationToken);
        var told = await LinkRigTests.UntilAsync<RigEvent.Tripped>(host);
        Assert.Equal(TripCause.LeaseExpired, told.Trip.Cause);
    }
}
