using System.Net;
using System.Net.Sockets;

namespace SweepRig.EndToEnd.Tests.Harness;

/// <summary>
/// The way from the browser to the service, to be cut under an open page: a forwarder on 127.0.0.2 with the service's own port number. The browser
/// is told to look for 127.0.0.1 there, so the page's address, its Host and its Origin stay as they are in life. Whoever else talks to the service goes past it.
/// </summary>
public sealed class PageNetwork : IAsyncDisposable
{
    private static readonly IPAddress Here = IPAddress.Parse("127.0.0.2");

    private readonly IPEndPoint _service;
    private readonly Lock _lock = new();
    private readonly List<Socket> _open = [];
    private TcpListener? _listener;
    private TaskCompletionSource _flows = new(TaskCreationOptions.RunContinuationsAsynchronously);

    private PageNetwork(IPEndPoint service) => _service = service;

    /// <summary>Makes a Chromium go through a network, whatever the service's port.</summary>
    public static string BrowserArgument => $"--host-resolver-rules=MAP 127.0.0.1 {Here}";

    /// <param name="serviceUrl">As the service states it, on 127.0.0.1.</param>
    public static PageNetwork To(string serviceUrl)
    {
        var url = new Uri(serviceUrl);
        var network = new PageNetwork(new IPEndPoint(IPAddress.Parse(url.Host), url.Port));
        network.Join();
        return network;
    }

    /// <summary>Resets every connection and refuses new ones, as when a tunnel breaks.</summary>
    public void Cut()
    {
        lock (_lock)
        {
            _listener?.Dispose();
            _listener = null;
            CloseAll();
        }
    }

    /// <summary>Takes connections and bytes and passes nothing on, as when the machine at the other end sleeps.</summary>
    public void Hush()
    {
        lock (_lock)
        {
            if (_flows.Task.IsCompleted) _flows = new(TaskCreationOptions.RunContinuationsAsynchronously);
        }
    }

    /// <summary>Lets everything through again, what waited included.</summary>
    public void Join()
    {
        lock (_lock)
        {
            _flows.TrySetResult();
            if (_listener is not null) return;
            _listener = new TcpListener(Here, _service.Port);
            _listener.Start();
            _ = AcceptAsync(_listener);
        }
    }

    public ValueTask DisposeAsync()
    {
        Cut();
        _flows.TrySetResult();
        return ValueTask.CompletedTask;
    }

    private async Task AcceptAsync(TcpListener listener)
    {
        try
        {
            while (true) _ = ForwardAsync(await listener.AcceptSocketAsync());
        }
        catch (Exception e) when (e is SocketException or ObjectDisposedException or InvalidOperationException)
        {
            // Cut.
        }
    }

    private async Task ForwardAsync(Socket page)
    {
        using var service = new Socket(SocketType.Stream, ProtocolType.Tcp);
        using (page)
        {
            try
            {
                Keep(page);
                Keep(service);
                await service.ConnectAsync(_service);
                await Task.WhenAny(PumpAsync(page, service), PumpAsync(service, page));
            }
            catch (Exception e) when (e is SocketException or ObjectDisposedException)
            {
                // Cut, or the service is gone.
            }
            finally
            {
                lock (_lock) _open.RemoveAll(s => s == page || s == service);
            }
        }
    }

    private async Task PumpAsync(Socket from, Socket to)
    {
        var buffer = new byte[16_384];
        try
        {
            while (await from.ReceiveAsync(buffer) is > 0 and var count)
            {
                await _flows.Task;
                for (var sent = 0; sent < count;) sent += await to.SendAsync(buffer.AsMemory(sent, count - sent));
            }
        }
        catch (Exception e) when (e is SocketException or ObjectDisposedException)
        {
            // One side is gone; the other is closed with it.
        }
    }

    private void Keep(Socket socket)
    {
        // Closed with a reset, so that whoever waits at the other end knows at once.
        socket.LingerState = new LingerOption(true, 0);
        lock (_lock)
        {
            ObjectDisposedException.ThrowIf(_listener is null, this);
            _open.Add(socket);
        }
    }

    private void CloseAll()
    {
        foreach (var socket in _open) socket.Dispose();
        _open.Clear();
    }
}
