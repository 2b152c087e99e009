using System.IO.Ports;
using Microsoft.Win32.SafeHandles;
using SweepRig.Rigs.Link;

namespace SweepRig.Rigs.Serial;

/// <summary>A rig on a serial port: 8 data bits, no parity, 1 stop bit, no flow control. One host at a time; a second one is refused.</summary>
public sealed class SerialRigPort : IRigPort
{
    public const int DefaultBaud = 115_200;
    public const int MinBaud = 9_600;
    public const int MaxBaud = 4_000_000;

    private const int WriteTimeoutMilliseconds = 500;

    private static readonly TimeSpan LongestClose = TimeSpan.FromSeconds(10);

    private readonly string path;
    private readonly int baud;
    private readonly TimeProvider time;
    private Task closing = Task.CompletedTask;

    /// <param name="path">Device, for example <c>/dev/ttyUSB0</c>; a link to one will do.</param>
    /// <param name="baud">Speed, <see cref="MinBaud"/> to <see cref="MaxBaud"/>; of no meaning on a pseudo-terminal.</param>
    /// <param name="time">For the wait until an earlier connection is closed.</param>
    /// <exception cref="ArgumentOutOfRangeException">The speed is out of range.</exception>
    /// <exception cref="ArgumentException">The path is empty.</exception>
    public SerialRigPort(string path, int baud, TimeProvider time)
    {
        ArgumentException.ThrowIfNullOrWhiteSpace(path);
        if (baud is < MinBaud or > MaxBaud)
            throw new ArgumentOutOfRangeException(nameof(baud), baud, $"A speed of {baud} baud is not possible; allowed is {MinBaud} to {MaxBaud}, usual is {DefaultBaud}.");
        (this.path, this.baud, this.time) = (path, baud, time);
    }

    /// <inheritdoc/>
    public string Name => $"{path} at {baud} baud";

    /// <inheritdoc/>
    public async ValueTask<Stream> OpenAsync(CancellationToken cancellationToken)
    {
        // Closing a port whose device is gone can take seconds; opening it again before that would find it in use, by ourselves.
        try
        {
            await closing.WaitAsync(LongestClose, time, cancellationToken).ConfigureAwait(false);
        }
        catch (TimeoutException e)
        {
            throw new RigPortException($"The port {path} is still not closed {LongestClose.TotalSeconds} s after its connection was lost. Unplug the rig and plug it in again.", e);
        }
        return await Task.Run(Open, cancellationToken).ConfigureAwait(false);
    }

    private Stream Open()
    {
        var claim = OperatingSystem.IsLinux() ? SerialDevice.Claim(path) : null;
        var port = new SerialPort(path, baud, Parity.None, 8, StopBits.One) { Handshake = Handshake.None, WriteTimeout = WriteTimeoutMilliseconds };
        try
        {
            port.Open();
            port.DiscardInBuffer();
            RaiseReady(port);
            return new SerialStream(port, claim, done => closing = done);
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException or ArgumentException or InvalidOperationException or FileNotFoundException)
        {
            port.Dispose();
            claim?.Dispose();
            throw new RigPortException($"The port {path} cannot be opened at {baud} baud: {e.Message} Check that no other program uses it and that it can do this speed.", e);
        }
    }

    // Boards with their own USB send nothing before the host says it is ready. A pseudo-terminal has no such lines and answers with an IOException.
    private static void RaiseReady(SerialPort port)
    {
        try
        {
            port.DtrEnable = true;
        }
        catch (IOException)
        {
            return;
        }
    }

    /// <summary>The port's own stream, closed in the background, as closing a device may wait for what it still has to send.</summary>
    private sealed class SerialStream(SerialPort port, SafeFileHandle? claim, Action<Task> closing) : Stream
    {
        private readonly Stream inner = port.BaseStream;
        private int closed;

        public override bool CanRead => true;
        public override bool CanSeek => false;
        public override bool CanWrite => true;
        public override long Length => throw new NotSupportedException();
        public override long Position { get => throw new NotSupportedException(); set => throw new NotSupportedException(); }

        public override int Read(byte[] buffer, int offset, int count) => inner.Read(buffer, offset, count);

        public override ValueTask<int> ReadAsync(Memory<byte> buffer, CancellationToken cancellationToken = default) => inner.ReadAsync(buffer, cancellationToken);

        public override Task<int> ReadAsync(byte[] buffer, int offset, int count, CancellationToken cancellationToken) =>
            inner.ReadAsync(buffer, offset, count, cancellationToken);

        public override void Write(byte[] buffer, int offset, int count) => inner.Write(buffer, offset, count);

        public override ValueTask WriteAsync(ReadOnlyMemory<byte> buffer, CancellationToken cancellationToken = default) => inner.WriteAsync(buffer, cancellationToken);

        public override Task WriteAsync(byte[] buffer, int offset, int count, CancellationToken cancellationToken) =>
            inner.WriteAsync(buffer, offset, count, cancellationToken);

        public override void Flush()
        {
        }

        public override long Seek(long offset, SeekOrigin origin) => throw new NotSupportedException();
        public override void SetLength(long value) => throw new NotSupportedException();

        protected override void Dispose(bool disposing)
        {
            if (disposing && Interlocked.Exchange(ref closed, 1) == 0) closing(Task.Run(CloseDevice));
            base.Dispose(disposing);
        }

        private void CloseDevice()
        {
            try
            {
                // The stream before the port: SerialPort.Dispose first waits, without end and without rest, for writes that nobody takes any more once
                // the device has hung up (SerialStream.Flush in System.IO.Ports, seen with version 10). A stream that is closed is not flushed.
                inner.Dispose();
                port.Dispose();
            }
            catch (IOException)
            {
                // The device is gone; there is nothing left to close.
                return;
            }
            finally
            {
                claim?.Dispose();
            }
        }
    }
}
