using SweepRig.Domain.Interlocks;
using SweepRig.EndToEnd.Tests.Emulated.Rigs;
using SweepRig.EndToEnd.Tests.Harness;
using SweepRig.Rigs.Link.Messages;
using SweepRig.Rigs.Serial;
using SweepRig.Rigs.Simulated;

namespace SweepRig.EndToEnd.Tests.Emulated.Probe;

/// <summary>One of the three rigs on its port in a directory of its own, and a host moved by hand.</summary>
internal sealed class ProbedRig : IAsyncDisposable
{
    private readonly string _directory;
    private readonly RigKind _kind;
    private readonly SerialRigPort _port;

    private ProbedRig(string directory, RigKind kind, RigOnBench rig, SerialRigPort port, LinkProbe host) =>
        (_directory, _kind, Rig, _port, Host) = (directory, kind, rig, port, host);

    public RigOnBench Rig { get; }

    public LinkProbe Host { get; }

    public static async Task<ProbedRig> StartAsync(RigKind kind, SimulatedRigOptions? options = null)
    {
        var directory = Directory.CreateTempSubdirectory("sweeprig-").FullName;
        var path = Path.Combine(directory, "rig");
        var rig = RigOnBench.Start(kind, path, options);
        await Waiting.UntilAsync("the rig's port", TimeSpan.FromSeconds(10), () => Task.FromResult(File.Exists(path)));
        var port = Port(directory);
        return new(directory, kind, rig, port, await LinkProbe.OpenAsync(port));
    }

    /// <summary>Waits for a trip after a mark and checks what must follow on every trip: program ended, drive and rail safe at the pins.</summary>
    public async Task<Tripped> TrippedAsync(int mark, TripCause cause, double seconds = 10)
    {
        var tripped = await Host.UntilAsync<Tripped>(mark, _ => true, $"cause {cause}", seconds);
        Assert.Equal(cause, tripped.Cause);
        await Rig.UntilSafeAsync(1);
        var status = await Host.StatusAsync();
        Assert.True(status.Flags.HasFlag(StatusFlags.Latched));
        Assert.Equal(cause, status.Cause);
        Assert.False(status.Flags.HasFlag(StatusFlags.Running));
        Assert.False(status.Flags.HasFlag(StatusFlags.PlateRailOn));
        Assert.Equal(Passes.Code(-14), status.DriveCode);
        return tripped;
    }

    /// <summary>A host that comes after this one has gone.</summary>
    /// <param name="afterRestart">
    /// The rig has started anew. The process then has a new pseudo-terminal; closing the old one, whose other end has vanished, can take long and hinders
    /// nobody, while another host on the same one has to wait for it.
    /// </param>
    public async Task<LinkProbe> AnotherHostAsync(bool afterRestart = false)
    {
        await Host.DisposeAsync();
        return await LinkProbe.OpenAsync(afterRestart && _kind == RigKind.Host ? Port(_directory) : _port);
    }

    private static SerialRigPort Port(string directory) => new(Path.Combine(directory, "rig"), SerialRigPort.DefaultBaud, TimeProvider.System);

    public async ValueTask DisposeAsync()
    {
        await Host.DisposeAsync();
        await Rig.DisposeAsync();
        Directory.Delete(_directory, recursive: true);
    }
}

/// <summary>The three rigs as data of a theory.</summary>
internal static class ThreeRigs
{
    public static TheoryData<RigKind> All { get; } = new(RigKind.Simulated, RigKind.Host, RigKind.Avr);
}
