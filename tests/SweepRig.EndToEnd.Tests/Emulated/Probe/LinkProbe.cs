using System.Diagnostics;
using SweepRig.Rigs.Link;
using SweepRig.Rigs.Link.Messages;
using SweepRig.Rigs.Serial;

namespace SweepRig.EndToEnd.Tests.Emulated.Probe;

/// <summary>
/// A host that a test moves by hand: opens the rig's port as the service does, sends single messages, keeps all that comes. Renews the lease by itself
/// only while told to. Waits have deadlines.
/// </summary>
internal sealed class LinkProbe : IAsyncDisposable
{
    private static readonly TimeSpan s_limit = TimeSpan.FromSeconds(10);

    private readonly Stream _stream;
    private readonly Heard _heard = new();
    private readonly SemaphoreSlim _sending = new(1, 1);
    private readonly CancellationTokenSource _end = new();
    private byte _sequence;

    private LinkProbe(Stream stream)
    {
        _stream = stream;
        _ = ReadAsync();
        // A thread of its own: the lease must not run out because a busy machine lets the pool wait.
        new Thread(RenewLease) { IsBackground = true, Name = "renewals" }.Start();
    }

    /// <summary>Renews the lease every 70 ms. Default true.</summary>
    public bool Renews { get; set; } = true;

    public ushort Session { get; private set; }

    /// <summary>Opens a port, once what had it open before through the same object has let go.</summary>
    public static async Task<LinkProbe> OpenAsync(SerialRigPort port) => new(await port.OpenAsync(CancellationToken.None));

    /// <summary>Opens a session and waits until the rig has said all about itself.</summary>
    public async Task<Identity> HelloAsync(ushort session = 4711)
    {
        var mark = _heard.Count;
        var clock = Stopwatch.StartNew();
        while (true)
        {
            await SendAsync(new Hello(session), _sequence++);
            // A board that has just started, or a line full of old frames: as the protocol asks, again after 250 ms.
            var ack = await _heard.FindAsync<Ack>(mark, a => a.RequestType == LinkMessages.Hello.Number && a.Session == session, TimeSpan.FromMilliseconds(250));
            if (ack is not null) break;
            if (clock.Elapsed > s_limit) throw new TimeoutException("The rig did not answer a Hello.");
        }
        Session = session;
        return await _heard.FindAsync<Identity>(mark, i => i.Session == session, s_limit) ?? throw new InvalidOperationException("An Ack without an Identity.");
    }

    /// <summary>Sends a request until it is answered.</summary>
    /// <returns>Null for an Ack.</returns>
    public async Task<Nack?> AskAsync<T>(T message)
        where T : struct, ILinkMessage<T>
    {
        var sequence = _sequence++;
        var type = T.Declaration.Number;
        var mark = _heard.Count;
        for (var attempt = 0; attempt < LinkProtocol.Attempts; attempt++)
        {
            await SendAsync(message, sequence);
            var answer = await _heard.FirstAsync<Nack?>(
                mark,
                frame => frame.TryAs<Ack>(out var ack) && ack.RequestType == type && ack.Request == sequence ? (true, null)
                    : frame.TryAs<Nack>(out var nack) && nack.RequestType == type && nack.Request == sequence ? (true, nack)
                    : (false, null),
                TimeSpan.FromMilliseconds(500));
            if (answer.Found) return answer.Value;
        }
        throw new TimeoutException($"The rig did not answer {T.Declaration.Name}.");
    }

    /// <summary>As <see cref="AskAsync{T}"/>, where a refusal is a failure of the test.</summary>
    public async Task DoAsync<T>(T message)
        where T : struct, ILinkMessage<T>
    {
        if (await AskAsync(message) is { } nack) throw new InvalidOperationException($"The rig refused {T.Declaration.Name}: {nack}");
    }

    public Task SendAsync<T>(T message, byte sequence)
        where T : struct, ILinkMessage<T>
    {
        var buffer = new byte[LinkProtocol.MaxWireBytes];
        return SendRawAsync(buffer.AsMemory(0, FrameWriter.Write(message, sequence, buffer)));
    }

    public async Task SendRawAsync(ReadOnlyMemory<byte> bytes)
    {
        await _sending.WaitAsync();
        try
        {
            await _stream.WriteAsync(bytes);
        }
        finally
        {
            _sending.Release();
        }
    }

    /// <summary>Place in what was heard, to wait only for what comes after it.</summary>
    public int Mark => _heard.Count;

    /// <summary>Waits for a message heard after a mark that meets a condition.</summary>
    public async Task<T> UntilAsync<T>(int mark, Func<T, bool> condition, string what, double seconds = 10)
        where T : struct, ILinkMessage<T> =>
        await _heard.FindAsync(mark, condition, TimeSpan.FromSeconds(seconds)) ?? throw new TimeoutException($"Waited {seconds} s in vain for {T.Declaration.Name}: {what}.");

    /// <summary>All messages of a kind heard after a mark.</summary>
    public IReadOnlyList<T> All<T>(int mark = 0)
        where T : struct, ILinkMessage<T> => _heard.All<T>(mark);

    public IReadOnlyList<HeardFrame> Frames(int mark = 0) => _heard.Frames(mark);

    public async Task<Status> StatusAsync()
    {
        var mark = Mark;
        await DoAsync(new AskStatus());
        return await UntilAsync<Status>(mark, _ => true, "any");
    }

    /// <summary>Clears the latch, whatever fired it last.</summary>
    public async Task<Nack?> ReleaseAsync() => await AskAsync(new Release((await StatusAsync()).Latch));

    public async ValueTask DisposeAsync()
    {
        if (_end.IsCancellationRequested) return;
        await _end.CancelAsync();
        // The tasks are not waited for: on a terminal whose other end has vanished a read or write under way may never return.
        await _stream.DisposeAsync();
    }

    private async Task ReadAsync()
    {
        var reader = new FrameReader();
        var buffer = new byte[4096];
        try
        {
            while (await _stream.ReadAsync(buffer, _end.Token) is > 0 and var count) _heard.Take(reader, buffer.AsSpan(0, count));
        }
        catch (Exception e) when (e is IOException or OperationCanceledException or ObjectDisposedException or InvalidOperationException or TimeoutException)
        {
            // The port is closed, by us or by the rig's end.
        }
    }

    private void RenewLease()
    {
        var buffer = new byte[LinkProtocol.MaxWireBytes];
        try
        {
            while (!_end.Token.WaitHandle.WaitOne(LinkProtocol.RenewPeriod))
            {
                if (!Renews || Session == 0) continue;
                var length = FrameWriter.Write(new Renew(Session), 0, buffer);
                _sending.Wait();
                try
                {
                    _stream.Write(buffer, 0, length);
                }
                finally
                {
                    _sending.Release();
                }
            }
        }
        catch (Exception e) when (e is IOException or ObjectDisposedException or InvalidOperationException or TimeoutException)
        {
            // As above.
        }
    }
}
