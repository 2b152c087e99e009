using SweepRig.Domain.Interlocks;
using SweepRig.Domain.Rigs;
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

    /// <summary>What the host had heard when the rig was ready.</summary>
    public int Mark { get; private set; }

    public static async Task<ProbedRig> StartAsync(RigKind kind, SimulatedRigOptions? options = null)
    {
        var directory = Directory.CreateTempSubdirectory("sweeprig-").FullName;
        var path = Path.Combine(directory, "rig");
        var rig = RigOnBench.Start(kind, path, options);
        await Waiting.UntilAsync("the rig's port", TimeSpan.FromSeconds(10), () => Task.FromResult(File.Exists(path)));
        var port = Port(directory);
        return new(directory, kind, rig, port, await LinkProbe.OpenAsync(port));
    }

    /// <summary>A session is open, the latch clear, heater and plate rail are on.</summary>
    public static async Task<ProbedRig> ReadyAsync(RigKind kind, RigLimits? limits = null)
    {
        var bench = await StartAsync(kind);
        return await bench.AfterAsync(async () =>
        {
            await Passes.ReadyAsync(bench.Host, limits);
            bench.Mark = bench.Host.Mark;
        });
    }

    /// <summary>The same with program 1 well under way, a ramp of 2 ms a point.</summary>
    public static async Task<ProbedRig> SweepingAsync(RigKind kind, double from, double to, RigLimits? limits = null, int points = 500, byte mask = Passes.AllButReadBack)
    {
        var bench = await ReadyAsync(kind, limits);
        return await bench.AfterAsync(async () =>
        {
            await Passes.StartAsync(bench.Host, 1, from, to, points, 2_000, mask: mask);
            await Passes.RunningAsync(bench.Host, 1);
        });
    }

    /// <summary>The first trip since the rig was ready.</summary>
    public Task<Tripped> TrippedAsync(TripCause cause) => TrippedAsync(Mark, cause);

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

    /// <summary>A rig that cannot be brought to where a case begins leaves no process behind.</summary>
    private async Task<ProbedRig> AfterAsync(Func<Task> act)
    {
        try
        {
            await act();
            return this;
        }
        catch
        {
            await DisposeAsync();
            throw;
        }
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
