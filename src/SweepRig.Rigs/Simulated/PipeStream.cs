using System.IO.Pipelines;

namespace SweepRig.Rigs.Simulated;

/// <summary>One end of a duplex pipe as a stream. Disposing it ends both directions: the other end reads to the end and can write no more.</summary>
public sealed class PipeStream : Stream
{
    private readonly PipeReader _reader;
    private readonly PipeWriter _writer;
    private readonly Stream _reading;
    private int _disposed;

    private PipeStream(Pipe from, Pipe to) => (_reader, _writer, _reading) = (from.Reader, to.Writer, from.Reader.AsStream());

    /// <summary>Both ends of a new pipe.</summary>
    public static (PipeStream One, PipeStream Other) Pair()
    {
        var (forth, back) = (new Pipe(new PipeOptions(useSynchronizationContext: false)), new Pipe(new PipeOptions(useSynchronizationContext: false)));
        return (new(back, forth), new(forth, back));
    }

    public override bool CanRead => true;
    public override bool CanWrite => true;
    public override bool CanSeek => false;
    public override long Length => throw new NotSupportedException();

    public override long Position
    {
        get => throw new NotSupportedException();
        set => throw new NotSupportedException();
    }

    public override ValueTask<int> ReadAsync(Memory<byte> buffer, CancellationToken cancellationToken = default) => _reading.ReadAsync(buffer, cancellationToken);

    public override Task<int> ReadAsync(byte[] buffer, int offset, int count, CancellationToken cancellationToken) =>
        ReadAsync(buffer.AsMemory(offset, count), cancellationToken).AsTask();

    public override int Read(byte[] buffer, int offset, int count) => ReadAsync(buffer.AsMemory(offset, count)).AsTask().GetAwaiter().GetResult();

    /// <exception cref="IOException">The other end is closed.</exception>
    public override async ValueTask WriteAsync(ReadOnlyMemory<byte> buffer, CancellationToken cancellationToken = default)
    {
        ObjectDisposedException.ThrowIf(_disposed != 0, this);
        var result = await _writer.WriteAsync(buffer, cancellationToken).ConfigureAwait(false);
        if (result.IsCompleted) throw new IOException("The other end of the pipe is closed.");
    }

    public override Task WriteAsync(byte[] buffer, int offset, int count, CancellationToken cancellationToken) =>
        WriteAsync(buffer.AsMemory(offset, count), cancellationToken).AsTask();

    public override void Write(byte[] buffer, int offset, int count) => WriteAsync(buffer.AsMemory(offset, count)).AsTask().GetAwaiter().GetResult();

    public override void Flush()
    {
    }

    public override long Seek(long offset, SeekOrigin origin) => throw new NotSupportedException();

    public override void SetLength(long value) => throw new NotSupportedException();

    protected override void Dispose(bool disposing)
    {
        if (disposing && Interlocked.Exchange(ref _disposed, 1) == 0)
        {
            // A read under way ends with the end of the stream rather than with an error.
            _reader.CancelPendingRead();
            _writer.CancelPendingFlush();
            _reader.Complete();
            _writer.Complete();
        }
        base.Dispose(disposing);
    }
}
