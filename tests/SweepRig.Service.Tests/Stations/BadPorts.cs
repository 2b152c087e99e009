using SweepRig.Rigs.Bus;
using SweepRig.Rigs.Link;
using SweepRig.Service.Stations;

namespace SweepRig.Service.Tests.Stations;

/// <summary>Puts bad ports before rigs by the names of their stations: <c>hangs</c>, <c>dead</c>, <c>floods</c>; all others are left as they are.</summary>
internal sealed class BadPorts : IPortObserver
{
    public IRigPort Around(RigChoice choice, IRigPort port) => choice.Name switch
    {
        "hangs" => new Port(port.Name, () => new Hanging()),
        "dead" => new Port(port.Name, () => throw new RigPortException("There is no such port.")),
        "floods" => new Port(port.Name, () => new Flooding()),
        _ => port,
    };

    public IBusPort Around(RigChoice choice, IBusPort port) => port;

    private sealed class Port(string name, Func<Stream> open) : IRigPort
    {
        public string Name => name;

        public ValueTask<Stream> OpenAsync(CancellationToken cancellationToken) => ValueTask.FromResult(open());
    }

    /// <summary>Takes nothing that is written and never gives anything, not even when it is closed.</summary>
    private class Hanging : Stream
    {
        public override bool CanRead => true;
        public override bool CanWrite => true;
        public override bool CanSeek => false;
        public override long Length => throw new NotSupportedException();
        public override long Position { get => throw new NotSupportedException(); set => throw new NotSupportedException(); }

        public override int Read(byte[] buffer, int offset, int count) => throw new NotSupportedException();

        public override ValueTask<int> ReadAsync(Memory<byte> buffer, CancellationToken cancellationToken = default) => new(new TaskCompletionSource<int>().Task);

        public override void Write(byte[] buffer, int offset, int count) => throw new NotSupportedException();

        public override ValueTask WriteAsync(ReadOnlyMemory<byte> buffer, CancellationToken cancellationToken = default) => new(new TaskCompletionSource().Task);

        public override void Flush()
        {
        }

        public override long Seek(long offset, SeekOrigin origin) => throw new NotSupportedException();

        public override void SetLength(long value) => throw new NotSupportedException();
    }

    /// <summary>Gives 1 MB/s of noise, more than a serial port of 4 Mbaud can, and takes all that is written.</summary>
    private sealed class Flooding : Hanging
    {
        private const int BytesEach = 10_000;

        private readonly PeriodicTimer _pace = new(TimeSpan.FromMilliseconds(10));
        private readonly Random _noise = new(1);

        public override async ValueTask<int> ReadAsync(Memory<byte> buffer, CancellationToken cancellationToken = default)
        {
            if (!await _pace.WaitForNextTickAsync(cancellationToken)) return 0;
            var given = Math.Min(buffer.Length, BytesEach);
            _noise.NextBytes(buffer.Span[..given]);
            return given;
        }

        public override ValueTask WriteAsync(ReadOnlyMemory<byte> buffer, CancellationToken cancellationToken = default) => ValueTask.CompletedTask;

        protected override void Dispose(bool disposing)
        {
            _pace.Dispose();
            base.Dispose(disposing);
        }
    }
}
