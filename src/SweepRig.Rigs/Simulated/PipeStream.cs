using System.IO.Pipelines;

namespace SweepRig.Rigs.Simulated;

/// <summary>One end of a duplex pipe as a stream. Disposing it ends both directions: the other end reads to the end and can write no more.</summary>
internal sealed class PipeStream(PipeReader reader, PipeWriter writer) : Stream
{
    private readonly Stream _reading = reader.AsStream();
    private int _disposed;

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
        var result = await writer.WriteAsync(buffer, cancellationToken).ConfigureAwait(false);
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
            reader.CancelPendingRead();
            writer.CancelPendingFlush();
            reader.Complete();
            writer.Complete();
        }
        base.Dispose(disposing);
    }
}
