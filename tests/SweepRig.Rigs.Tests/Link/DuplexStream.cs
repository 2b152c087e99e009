using System.IO.Pipelines;

namespace SweepRig.Rigs.Tests.Link;

/// <summary>One end of a pair of streams joined in memory. Closing one end ends the reads of the other.</summary>
internal sealed class DuplexStream : Stream
{
    private readonly Stream input;
    private readonly Stream output;

    private DuplexStream(Pipe from, Pipe to) => (input, output) = (from.Reader.AsStream(), to.Writer.AsStream());

    public bool IsClosed { get; private set; }

    public override bool CanRead => true;
    public override bool CanSeek => false;
    public override bool CanWrite => true;
    public override long Length => throw new NotSupportedException();
    public override long Position { get => throw new NotSupportedException(); set => throw new NotSupportedException(); }

    public static (DuplexStream Host, DuplexStream Rig) Pair()
    {
        var (down, up) = (new Pipe(), new Pipe());
        return (new(up, down), new(down, up));
    }

    public override int Read(byte[] buffer, int offset, int count) => input.Read(buffer, offset, count);

    public override ValueTask<int> ReadAsync(Memory<byte> buffer, CancellationToken cancellationToken = default) => input.ReadAsync(buffer, cancellationToken);

    public override void Write(byte[] buffer, int offset, int count) => output.Write(buffer, offset, count);

    public override ValueTask WriteAsync(ReadOnlyMemory<byte> buffer, CancellationToken cancellationToken = default) => output.WriteAsync(buffer, cancellationToken);

    public override void Flush() => output.Flush();
    public override long Seek(long offset, SeekOrigin origin) => throw new NotSupportedException();
    public override void SetLength(long value) => throw new NotSupportedException();

    protected override void Dispose(bool disposing)
    {
        if (disposing && !IsClosed)
        {
            IsClosed = true;
            input.Dispose();
            output.Dispose();
        }
        base.Dispose(disposing);
    }
}
