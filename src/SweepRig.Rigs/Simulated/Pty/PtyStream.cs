using System.IO.Pipelines;
using System.Runtime.InteropServices;

namespace SweepRig.Rigs.Simulated.Pty;

/// <summary>The master side of a pseudo-terminal as a stream. Closing it takes effect at once, whatever reads and writes are under way.</summary>
/// <remarks>
/// A read on a terminal handle cannot be cancelled by closing it from another thread, so one thread waits in poll(2) for the line and for a wake-up
/// pipe. Bytes read go to a pipe; a write goes straight to the line and only what the line does not take waits for the thread.
/// </remarks>
internal sealed class PtyStream : Stream
{
    private readonly int _master;
    private readonly int _wakeRead, _wakeWrite;
    private readonly Pipe _received = new(new PipeOptions(pauseWriterThreshold: 0, useSynchronizationContext: false));
    private readonly Stream _reader;
    private readonly Thread _pump;
    private readonly SemaphoreSlim _turn = new(1, 1);

    // Taken by writers (for the waiter) and by the pump and Dispose (to end it); nothing else is locked while it is held.
    private readonly Lock _lock = new();
    private TaskCompletionSource? _room;
    private bool _closed;

    public PtyStream(int master)
    {
        _master = master;
        Span<int> ends = stackalloc int[2];
        if (Posix.OpenPipe(ends, Posix.NonBlocking | Posix.CloseOnExec) < 0) throw Posix.Failure("No pipe for the pseudo-terminal");
        _wakeRead = ends[0];
        _wakeWrite = ends[1];
        _reader = _received.Reader.AsStream();
        _pump = new Thread(Pump) { IsBackground = true, Name = "pty" };
        _pump.Start();
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

    public override ValueTask<int> ReadAsync(Memory<byte> buffer, CancellationToken cancellationToken = default) =>
        _reader.ReadAsync(buffer, cancellationToken);

    public override Task<int> ReadAsync(byte[] buffer, int offset, int count, CancellationToken cancellationToken) =>
        ReadAsync(buffer.AsMemory(offset, count), cancellationToken).AsTask();

    public override int Read(byte[] buffer, int offset, int count) =>
        ReadAsync(buffer.AsMemory(offset, count)).AsTask().GetAwaiter().GetResult();

    /// <exception cref="IOException">The cable was pulled.</exception>
    public override async ValueTask WriteAsync(ReadOnlyMemory<byte> buffer, CancellationToken cancellationToken = default)
    {
        await _turn.WaitAsync(cancellationToken).ConfigureAwait(false);
        try
        {
            while (buffer.Length > 0)
            {
                var taken = TryWrite(buffer.Span, out var room);
                buffer = buffer[taken..];
                if (room is not null) await room.WaitAsync(cancellationToken).ConfigureAwait(false);
            }
        }
        finally
        {
            _turn.Release();
        }
    }

    public override Task WriteAsync(byte[] buffer, int offset, int count, CancellationToken cancellationToken) =>
        WriteAsync(buffer.AsMemory(offset, count), cancellationToken).AsTask();

    public override void Write(byte[] buffer, int offset, int count) =>
        WriteAsync(buffer.AsMemory(offset, count)).AsTask().GetAwaiter().GetResult();

    public override void Flush()
    {
    }

    public override long Seek(long offset, SeekOrigin origin) => throw new NotSupportedException();

    public override void SetLength(long value) => throw new NotSupportedException();

    protected override void Dispose(bool disposing)
    {
        if (disposing)
        {
            lock (_lock)
            {
                if (_closed) return;
                _closed = true;
                _room?.TrySetException(Gone());
                Wake();
            }
            _pump.Join();
            _ = Posix.Close(_master);
            _ = Posix.Close(_wakeRead);
            _ = Posix.Close(_wakeWrite);
        }
        base.Dispose(disposing);
    }

    private static IOException Gone() => new("The pseudo-terminal is closed.");

    private int TryWrite(ReadOnlySpan<byte> bytes, out Task? room)
    {
        lock (_lock)
        {
            if (_closed) throw Gone();
            room = null;
            var written = Posix.Write(_master, bytes, (nuint)bytes.Length);
            if (written > 0) return (int)written;
            if (written < 0 && Marshal.GetLastPInvokeError() is not (Posix.TryAgain or Posix.Interrupted)) throw Posix.Failure("The pseudo-terminal takes nothing");
            _room = new(TaskCreationOptions.RunContinuationsAsynchronously);
            room = _room.Task;
            Wake();
            return 0;
        }
    }

    private void Wake() => _ = Posix.Write(_wakeWrite, [1], 1);

    private void Pump()
    {
        Span<Posix.PollEntry> entries = stackalloc Posix.PollEntry[2];
        Span<byte> drained = stackalloc byte[64];
        while (true)
        {
            bool wantsRoom;
            lock (_lock)
            {
                if (_closed) break;
                wantsRoom = _room is not null;
            }
            entries[0] = new() { Handle = _master, Events = (short)(Posix.PollIn | (wantsRoom ? Posix.PollOut : 0)) };
            entries[1] = new() { Handle = _wakeRead, Events = Posix.PollIn };
            if (Posix.Poll(entries, 2, -1) < 0) continue;
            if ((entries[1].Returned & Posix.PollIn) != 0) _ = Posix.Read(_wakeRead, drained, (nuint)drained.Length);
            if ((entries[0].Returned & Posix.PollOut) != 0) GiveRoom();
            if ((entries[0].Returned & Posix.PollIn) != 0 && !Receive()) break;
            if ((entries[0].Returned & (Posix.PollError | Posix.PollHangUp)) != 0 && (entries[0].Returned & Posix.PollIn) == 0) break;
        }
        _received.Writer.Complete();
    }

    private void GiveRoom()
    {
        lock (_lock)
        {
            _room?.TrySetResult();
            _room = null;
        }
    }

    private bool Receive()
    {
        var buffer = _received.Writer.GetSpan(4096);
        var count = Posix.Read(_master, buffer, (nuint)buffer.Length);
        if (count < 0 && Marshal.GetLastPInvokeError() is Posix.TryAgain or Posix.Interrupted) return true;
        if (count <= 0) return false;
        _received.Writer.Advance((int)count);
        // Nobody limits the pipe: what a host sends is little, and the rig's task reads all of it.
        var flushed = _received.Writer.FlushAsync();
        if (!flushed.IsCompleted) throw new InvalidOperationException("SweepRig bug: an unlimited pipe made its writer wait.");
        _ = flushed.Result;
        return true;
    }
}
