using Microsoft.Extensions.Logging.Abstractions;
using SweepRig.Rigs.Link;
using SweepRig.Rigs.Serial;
using SweepRig.Rigs.Simulated;
using SweepRig.Rigs.Tests.Link;

namespace SweepRig.Rigs.Tests.Serial;

/// <summary>A rig whose cable goes from one port to another, on real pseudo-terminals through the serial driver.</summary>
public sealed class RoamingOverRealPortsTests : IDisposable
{
    private readonly string _directory = Directory.CreateTempSubdirectory("sweeprig-").FullName;

    private static CancellationToken Cancellation => TestContext.Current.CancellationToken;

    public void Dispose() => Directory.Delete(_directory, recursive: true);

    [Fact]
    public async Task A_rig_that_comes_back_on_another_port_is_found_by_its_serial_number_and_the_stranger_beside_it_is_left_alone()
    {
        await using var ours = new SimulatedRig(new() { SerialNumber = "SKUA-1" }, TimeProvider.System);
        await using var stranger = new SimulatedRig(new() { SerialNumber = "TERN-9" }, TimeProvider.System);
        var own = PlugIn("ttyUSB0", ours);
        var roaming = new RoamingPort("left", own.Path, null, new PortRoll(), new Ports(_directory), path => new SerialRigPort(path, 115_200, TimeProvider.System));
        await using var rig = new LinkRig(roaming, TimeProvider.System, NullLogger<LinkRig>.Instance, roaming);
        rig.Start();
        Assert.Equal("SKUA-1", (await UntilAsync<RigEvent.Connected>(rig)).Identity.SerialNumber);

        own.Dispose();
        using var beside = PlugIn("ttyUSB1", stranger);
        using var elsewhere = PlugIn("ttyUSB2", ours);

        Assert.Contains("was lost", (await UntilAsync<RigEvent.Disconnected>(rig)).Reason, StringComparison.Ordinal);
        Assert.Equal("SKUA-1", (await UntilAsync<RigEvent.Connected>(rig)).Identity.SerialNumber);
        Assert.StartsWith(elsewhere.Path, roaming.Name, StringComparison.Ordinal);
        Assert.True(stranger.Journal.IsSafe);
        Assert.False(stranger.Journal.HeaterOn);
    }

    private PtyPort PlugIn(string name, SimulatedRig rig)
    {
        var pty = PtyPort.Open(Path.Combine(_directory, name));
        _ = rig.ServeAsync(pty.Stream, Cancellation);
        return pty;
    }

    private static async Task<T> UntilAsync<T>(LinkRig rig)
        where T : RigEvent
    {
        while (true)
            if (await rig.Events.ReadAsync(Cancellation).AsTask().WaitAsync(Deadline.Time, Cancellation) is T found) return found;
    }

    /// <summary>The links that pseudo-terminals leave in a directory, as the kernel leaves device files in /dev.</summary>
    private sealed class Ports(string directory) : IPresentPorts
    {
        public IReadOnlyList<PresentPort> All() => [.. Directory.EnumerateFileSystemEntries(directory).Order(StringComparer.Ordinal).Select(p => new PresentPort(p, null))];

        public bool IsPresent(string path) => File.Exists(path);

        public bool IsHeld(string path) => PortHolder.Of(path).Count > 0;
    }
}
