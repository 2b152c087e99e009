using System.Threading.Channels;
using SweepRig.Rigs.Link;
using SweepRig.Rigs.Link.Messages;

namespace SweepRig.Rigs.Tests.Simulated;

/// <summary>A host on a real stream: a task reads frames; a test waits for the one it wants, with a deadline.</summary>
internal sealed class Wire : IAsyncDisposable
{
    private static readonly TimeSpan Deadline = TimeSpan.FromSeconds(20);

    private readonly Stream _stream;
    private readonly Channel<(int Type, byte[] Frame)> _frames = Channel.CreateUnbounded<(int, byte[])>();
    private readonly Task _reading;
    private byte _sequence;

    public Wire(Stream stream)
    {
        _stream = stream;
        _reading = ReadAsync();
    }

    /// <summary>Ends when the stream has ended.</summary>
    public Task Ended => _reading.WaitAsync(Deadline);

    public async Task SendAsync<T>(T message)
        where T : struct, ILinkMessage<T>
    {
        var wire = new byte[LinkProtocol.MaxWireBytes];
        var written = FrameWriter.Write(message, _sequence++, wire);
        await _stream.WriteAsync(wire.AsMemory(0, written));
        await _stream.FlushAsync();
    }

    /// <summary>The next message of a kind; earlier others are passed over.</summary>
    public async Task<T> NextAsync<T>()
        where T : struct, ILinkMessage<T>
    {
        using var deadline = new CancellationTokenSource(Deadline);
        while (true)
        {
            var (type, bytes) = await _frames.Reader.ReadAsync(deadline.Token);
            if (type != T.Declaration.Number) continue;
            return Decode<T>(bytes);
        }
    }

    public async ValueTask DisposeAsync()
    {
        await _stream.DisposeAsync();
        await _reading;
    }

    private static T Decode<T>(byte[] wire)
        where T : struct, ILinkMessage<T>
    {
        var reader = new FrameReader();
        ReadOnlySpan<byte> input = wire;
        Assert.Equal(ReadResult.Frame, reader.Next(ref input, out var frame));
        Assert.Null(frame.Decode<T>(out var message));
        return message;
    }

    private async Task ReadAsync()
    {
        var buffer = new byte[512];
        var piece = new List<byte>();
        try
        {
            while (await _stream.ReadAsync(buffer) is > 0 and var count)
            {
                foreach (var b in buffer.AsSpan(0, count))
                {
                    piece.Add(b);
                    if (b != 0) continue;
                    Publish([.. piece]);
                    piece.Clear();
                }
            }
        }
        catch (Exception e) when (e is IOException or ObjectDisposedException or OperationCanceledException or InvalidOperationException)
        {
        }
        _frames.Writer.TryComplete();
    }

    private void Publish(byte[] wire)
    {
        Span<byte> frame = stackalloc byte[LinkProtocol.MaxFrameBytes];
        if (wire.Length > 1 && Cobs.TryDecode(wire.AsSpan(0, wire.Length - 1), frame, out var length) && length > 6) _frames.Writer.TryWrite((frame[0] & 31, wire));
    }
}
