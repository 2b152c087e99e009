using SweepRig.Rigs.Simulated;

namespace SweepRig.EndToEnd.Tests.Emulated.Rigs;

/// <summary>A pseudo-terminal whose far end a host opens; it may be pulled and plugged in again. What no host takes is dropped, as on a serial line.</summary>
/// <param name="path">Where the host finds it.</param>
/// <param name="received">Takes what the host sends, on some thread.</param>
internal sealed class PtyLine(string path, Action<byte[]> received) : IAsyncDisposable
{
    private readonly CancellationTokenSource _end = new();
    private volatile RigConnection? _connection;
    private PtyPort? _cable;
    private Task _traffic = Task.CompletedTask;

    public void PlugIn()
    {
        _cable = PtyPort.Open(path);
        var connection = new RigConnection(_cable.Stream, _end.Token, CancellationToken.None);
        _connection = connection;
        _traffic = Task.WhenAll(_traffic, connection.ReadAsync(received), connection.WriteAsync(static () => { }));
    }

    public void PullCable()
    {
        _connection = null;
        _cable?.Dispose();
        _cable = null;
    }

    public void Send(byte[] bytes)
    {
        if (bytes.Length > 0) _connection?.Send(bytes);
    }

    public async ValueTask DisposeAsync()
    {
        await _end.CancelAsync();
        PullCable();
        await _traffic;
        _end.Dispose();
    }
}
