using SweepRig.Rigs.Link;
using SweepRig.Rigs.Simulated;

namespace SweepRig.Wire.Line;

/// <summary>A port behind a <see cref="FaultyLine"/>. Its faults go on from one opening to the next; its cable can be pulled and plugged in again.</summary>
/// <param name="inner">The way to the rig.</param>
/// <param name="toRig">Faults towards the rig.</param>
/// <param name="toHost">Faults towards the host.</param>
/// <param name="time">For the waits of the line.</param>
/// <param name="reachedRig">Told what reaches the rig; null for nobody.</param>
public sealed class FaultyPort(IRigPort inner, LineDamage toRig, LineDamage toHost, TimeProvider time, Action<ReadOnlyMemory<byte>>? reachedRig = null)
    : IRigPort, IAsyncDisposable
{
    private FaultyLine? _line;
    private volatile bool _unplugged;

    public string Name => inner.Name;

    /// <exception cref="RigPortException">The cable is out, or the rig cannot be reached.</exception>
    public async ValueTask<Stream> OpenAsync(CancellationToken cancellationToken)
    {
        if (_unplugged) throw new RigPortException("The port is not there. Plug the cable in.");
        var rig = await inner.OpenAsync(cancellationToken).ConfigureAwait(false);
        var (near, far) = PipeStream.Pair();
        _line = new FaultyLine(far, rig, toRig, toHost, time, reachedRig);
        return near;
    }

    public void Unplug()
    {
        _unplugged = true;
        _line?.Unplug();
    }

    public void PlugIn() => _unplugged = false;

    /// <summary>From now on the line carries everything as it is.</summary>
    public void Heal()
    {
        toRig.Rates = toHost.Rates = LineRates.Clean;
        _unplugged = false;
    }

    public async ValueTask DisposeAsync()
    {
        if (_line is { } line) await line.DisposeAsync().ConfigureAwait(false);
    }
}
