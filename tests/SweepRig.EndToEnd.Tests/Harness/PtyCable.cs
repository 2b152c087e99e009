using SweepRig.Rigs.Serial;
using SweepRig.Rigs.Simulated;
using SweepRig.Wire.Line;

namespace SweepRig.EndToEnd.Tests.Harness;

/// <summary>A bad cable from a rig's pseudo-terminal to one of its own, which a service opens. Its faults go on when it is plugged in again.</summary>
/// <param name="rigPath">The rig's pseudo-terminal.</param>
/// <param name="hostPath">Where the service finds the cable.</param>
/// <param name="toRig">Faults towards the rig.</param>
/// <param name="toHost">Faults towards the service.</param>
public sealed class PtyCable(string rigPath, string hostPath, LineDamage toRig, LineDamage toHost) : IAsyncDisposable
{
    private readonly SerialRigPort _rig = new(rigPath, SerialRigPort.DefaultBaud, TimeProvider.System);
    private PtyPort? _host;
    private FaultyLine? _line;

    /// <summary>Frames that were lost, changed, doubled, moved or made to wait, both ways.</summary>
    public long Damaged => toRig.Damaged + toHost.Damaged;

    public async Task PlugInAsync()
    {
        var rig = await _rig.OpenAsync(CancellationToken.None);
        _host = PtyPort.Open(hostPath);
        _line = new FaultyLine(_host.Stream, rig, toRig, toHost, TimeProvider.System);
    }

    /// <summary>The device vanishes from the service's sight and the rig hears no more.</summary>
    public async Task UnplugAsync()
    {
        _host?.Dispose();
        if (_line is { } line) await line.DisposeAsync();
    }

    public async ValueTask DisposeAsync() => await UnplugAsync();
}
