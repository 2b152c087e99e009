using SweepRig.Rigs.Link;

namespace SweepRig.Sweeps.Tests.Integration;

/// <summary>A port whose cable can be pulled: the stream ends, and opening it again fails until it is plugged in.</summary>
internal sealed class CuttablePort(IRigPort inner) : IRigPort
{
    private Stream? _open;
    private volatile bool _cut;

    public string Name => inner.Name;

    public async ValueTask<Stream> OpenAsync(CancellationToken cancellationToken)
    {
        if (_cut) throw new RigPortException("The port is not there. Plug the cable in.");
        return _open = await inner.OpenAsync(cancellationToken);
    }

    public void Pull()
    {
        _cut = true;
        _open?.Dispose();
    }

    public void PlugIn() => _cut = false;
}
