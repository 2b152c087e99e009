using System.Net.WebSockets;
using System.Text;

namespace SweepRig.Benchmarks.WholeSystem;

/// <summary>A viewer that opens the hub as the protocol asks and then never reads again.</summary>
public sealed class StalledViewer : IDisposable
{
    private readonly ClientWebSocket _socket = new();

    public static async Task<StalledViewer> ConnectAsync(string url)
    {
        var viewer = new StalledViewer();
        await viewer._socket.ConnectAsync(new Uri(url.Replace("http://", "ws://", StringComparison.Ordinal) + "/hub/bench"), CancellationToken.None);
        // The hub protocol's handshake: a JSON record ended by 0x1E, whatever protocol follows.
        await viewer._socket.SendAsync(Encoding.UTF8.GetBytes("{\"protocol\":\"messagepack\",\"version\":1}\u001e"), WebSocketMessageType.Binary, true, CancellationToken.None);
        return viewer;
    }

    public void Dispose() => _socket.Dispose();
}
