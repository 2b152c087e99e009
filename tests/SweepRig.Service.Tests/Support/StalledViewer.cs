using System.Net.Sockets;
using System.Net.WebSockets;
using System.Text;

namespace SweepRig.Service.Tests.Support;

/// <summary>A viewer that opens the hub as its protocol asks and then does not read, until told to.</summary>
public sealed class StalledViewer : IDisposable
{
    private readonly ClientWebSocket _socket = new();
    private readonly SocketsHttpHandler _transport = new()
    {
        // A small window at this end, so that little fits between the two programs.
        ConnectCallback = async (context, cancellation) =>
        {
            var socket = new Socket(AddressFamily.InterNetwork, SocketType.Stream, ProtocolType.Tcp) { ReceiveBufferSize = 4_096 };
            await socket.ConnectAsync(context.DnsEndPoint, cancellation);
            return new NetworkStream(socket, ownsSocket: true);
        },
    };

    public static async Task<StalledViewer> ConnectAsync(TestBench bench)
    {
        var viewer = new StalledViewer();
        using var invoker = new HttpMessageInvoker(viewer._transport, disposeHandler: false);
        await viewer._socket.ConnectAsync(new Uri($"ws://127.0.0.1:{bench.Url.Port}/hub/bench"), invoker, TestContext.Current.CancellationToken);
        // A handshake of the hub protocol is a JSON record ended by 0x1E (HubProtocol.md in the ASP.NET Core sources).
        await viewer._socket.SendAsync(
            Encoding.UTF8.GetBytes("{\"protocol\":\"json\",\"version\":1}\u001e"), WebSocketMessageType.Text, true, TestContext.Current.CancellationToken);
        return viewer;
    }

    /// <summary>Reads on until a text has come by, by default for up to 30 s; returns everything read.</summary>
    public async Task<string> ReadUntilAsync(string text, TimeSpan? limit = null)
    {
        using var deadline = CancellationTokenSource.CreateLinkedTokenSource(TestContext.Current.CancellationToken);
        deadline.CancelAfter(limit ?? TimeSpan.FromSeconds(30));
        var read = new StringBuilder();
        var buffer = new byte[65_536];
        while (!read.ToString().Contains(text, StringComparison.Ordinal))
        {
            var part = await _socket.ReceiveAsync(buffer.AsMemory(), deadline.Token);
            read.Append(Encoding.UTF8.GetString(buffer, 0, part.Count));
        }
        return read.ToString();
    }

    public void Dispose()
    {
        _socket.Dispose();
        _transport.Dispose();
    }
}
