using System.Threading.Channels;

namespace SweepRig.Rigs.Simulated;

/// <summary>One host on the rig's line. Frames that the host does not take in time are dropped, as a serial line without flow control does.</summary>
internal sealed class RigConnection : IDisposable
{
    private const int MostFrames = 4_096;
    private const int WriteBytes = 4_096;

    private readonly Stream _stream;
    private readonly CancellationTokenSource _end;
    private readonly Channel<byte[]> _frames = Channel.CreateBounded<byte[]>(new BoundedChannelOptions(MostFrames) { FullMode = BoundedChannelFullMode.DropWrite });

    public RigConnection(Stream stream, CancellationToken rigEnds, CancellationToken callerEnds)
    {
        _stream = stream;
        _end = CancellationTokenSource.CreateLinkedTokenSource(rigEnds, callerEnds);
        // A read that does not heed its token, as on some ports, ends with the stream.
        _end.Token.Register(_stream.Dispose);
    }

    /// <summary>Frames not yet written.</summary>
    public int Waiting => _frames.Reader.Count;

    public void Send(byte[] frame) => _frames.Writer.TryWrite(frame);

    public void Forget()
    {
        while (_frames.Reader.TryRead(out _))
        {
        }
    }

    public void End()
    {
        try
        {
            _end.Cancel();
        }
        catch (ObjectDisposedException)
        {
            // It has ended by itself in the meantime.
        }
    }

    /// <summary>Hands on what the host sends until the line ends.</summary>
    public async Task ReadAsync(Action<byte[]> received)
    {
        var buffer = new byte[1024];
        try
        {
            while (await _stream.ReadAsync(buffer, _end.Token).ConfigureAwait(false) is > 0 and var count)
                received(buffer[..count]);
        }
        catch (Exception exception) when (IsEndOfLine(exception))
        {
        }
    }

    /// <summary>Writes frames as they come, several at once when several wait.</summary>
    /// <param name="written">Called after each write.</param>
    public async Task WriteAsync(Action written)
    {
        var buffer = new byte[WriteBytes];
        try
        {
            while (await _frames.Reader.WaitToReadAsync(_end.Token).ConfigureAwait(false))
            {
                var count = 0;
                while (count < WriteBytes && _frames.Reader.TryPeek(out var next) && next.Length <= WriteBytes - count && _frames.Reader.TryRead(out var frame))
                {
                    frame.CopyTo(buffer.AsSpan(count));
                    count += frame.Length;
                }
                if (count > 0) await _stream.WriteAsync(buffer.AsMemory(0, count), _end.Token).ConfigureAwait(false);
                await _stream.FlushAsync(_end.Token).ConfigureAwait(false);
                written();
            }
        }
        catch (Exception exception) when (IsEndOfLine(exception))
        {
            End();
        }
    }

    public void Dispose()
    {
        _stream.Dispose();
        _end.Dispose();
    }

    private static bool IsEndOfLine(Exception exception) =>
        exception is IOException or OperationCanceledException or ObjectDisposedException or InvalidOperationException;
}
