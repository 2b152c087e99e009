using System.Threading.Channels;

namespace SweepRig.Wire.Line;

/// <summary>
/// A cable between two streams that does to each direction what its <see cref="LineDamage"/> says. It keeps the order of what it does not move
/// on purpose: a portion that waits holds up all behind it. Ends, and closes both streams, when either ends or when it is unplugged.
/// </summary>
public sealed class FaultyLine : IAsyncDisposable
{
    private readonly Stream _a;
    private readonly Stream _b;
    private readonly TimeProvider _time;
    private readonly CancellationTokenSource _unplugged = new();
    private readonly Task _ended;

    /// <param name="a">One end.</param>
    /// <param name="b">The other end.</param>
    /// <param name="aToB">Faults from a to b.</param>
    /// <param name="bToA">Faults from b to a.</param>
    /// <param name="time">For the waits.</param>
    /// <param name="delivered">Told what reaches b, just before it does; null for nobody.</param>
    public FaultyLine(Stream a, Stream b, LineDamage aToB, LineDamage bToA, TimeProvider time, Action<ReadOnlyMemory<byte>>? delivered = null)
    {
        (_a, _b, _time) = (a, b, time);
        aToB.Begin();
        bToA.Begin();
        _ended = Task.WhenAll(CarryAsync(a, b, aToB, delivered), CarryAsync(b, a, bToA, null));
    }

    /// <summary>Completes when the line has ended and both streams are closed.</summary>
    public Task Ended => _ended;

    /// <summary>Pulls the cable; what is on it is lost.</summary>
    public void Unplug()
    {
        _unplugged.Cancel();
        _a.Dispose();
        _b.Dispose();
    }

    public async ValueTask DisposeAsync()
    {
        Unplug();
        await _ended.ConfigureAwait(false);
        _unplugged.Dispose();
    }

    private async Task CarryAsync(Stream from, Stream to, LineDamage damage, Action<ReadOnlyMemory<byte>>? delivered)
    {
        var waiting = Channel.CreateUnbounded<(byte[] Bytes, long DueAt)>(new() { SingleReader = true, SingleWriter = true });
        var writing = WriteAsync(to, waiting.Reader, delivered);
        var buffer = new byte[4096];
        var dueAt = long.MinValue;
        try
        {
            while (await from.ReadAsync(buffer, _unplugged.Token).ConfigureAwait(false) is > 0 and var count)
            {
                foreach (var (bytes, wait) in damage.Pass(buffer.AsSpan(0, count)))
                {
                    dueAt = Math.Max(dueAt, _time.GetTimestamp()) + (long)(wait.TotalSeconds * _time.TimestampFrequency);
                    waiting.Writer.TryWrite((bytes, dueAt));
                }
            }
        }
        catch (Exception e) when (IsEndOfLine(e))
        {
        }
        waiting.Writer.TryComplete();
        Unplug();
        await writing.ConfigureAwait(false);
    }

    private async Task WriteAsync(Stream to, ChannelReader<(byte[] Bytes, long DueAt)> waiting, Action<ReadOnlyMemory<byte>>? delivered)
    {
        try
        {
            await foreach (var (bytes, dueAt) in waiting.ReadAllAsync(_unplugged.Token).ConfigureAwait(false))
            {
                var wait = _time.GetElapsedTime(_time.GetTimestamp(), dueAt);
                if (wait > TimeSpan.Zero) await Task.Delay(wait, _time, _unplugged.Token).ConfigureAwait(false);
                delivered?.Invoke(bytes);
                await to.WriteAsync(bytes, _unplugged.Token).ConfigureAwait(false);
                await to.FlushAsync(_unplugged.Token).ConfigureAwait(false);
            }
        }
        catch (Exception e) when (IsEndOfLine(e))
        {
            Unplug();
        }
    }

    private static bool IsEndOfLine(Exception e) =>
        e is IOException or OperationCanceledException or ObjectDisposedException or InvalidOperationException or UnauthorizedAccessException or TimeoutException;
}
