using System.Diagnostics;
using SweepRig.Rigs.Link;
using SweepRig.Rigs.Link.Messages;

namespace SweepRig.EndToEnd.Tests.Emulated.Probe;

/// <summary>A frame that passed its check, header and payload.</summary>
internal sealed record HeardFrame(byte[] Bytes, long At)
{
    public LinkFrame Frame => new(Bytes);

    public bool TryAs<T>(out T message)
        where T : struct, ILinkMessage<T>
    {
        message = default;
        return Frame.Version == LinkProtocol.Version && Frame.Type == T.Declaration.Number && Frame.Decode(out message) is null;
    }
}

/// <summary>All that a rig has said, in order. Safe from any thread.</summary>
internal sealed class Heard
{
    // Taken by the reading task for each frame and by a waiter for each look; nothing else is locked while it is held.
    private readonly Lock _lock = new();
    private readonly List<HeardFrame> _frames = [];
    private TaskCompletionSource _more = new(TaskCreationOptions.RunContinuationsAsynchronously);

    public int Count
    {
        get
        {
            lock (_lock) return _frames.Count;
        }
    }

    /// <summary>Pieces between two 0x00 that were no frame.</summary>
    public long Damaged { get; private set; }

    public void Take(FrameReader reader, ReadOnlySpan<byte> input)
    {
        lock (_lock)
        {
            while (reader.Next(ref input, out var frame) is var result and not ReadResult.NeedMore)
                if (result == ReadResult.Frame) _frames.Add(new(frame.Bytes.ToArray(), Stopwatch.GetTimestamp()));
            Damaged = reader.Damaged;
            _more.TrySetResult();
            _more = new(TaskCreationOptions.RunContinuationsAsynchronously);
        }
    }

    public IReadOnlyList<HeardFrame> Frames(int mark)
    {
        lock (_lock) return _frames[mark..];
    }

    public IReadOnlyList<T> All<T>(int mark)
        where T : struct, ILinkMessage<T>
    {
        List<T> found = [];
        foreach (var frame in Frames(mark))
            if (frame.TryAs<T>(out var message)) found.Add(message);
        return found;
    }

    public async Task<T?> FindAsync<T>(int mark, Func<T, bool> condition, TimeSpan limit)
        where T : struct, ILinkMessage<T>
    {
        var (found, value) = await FirstAsync(mark, frame => frame.TryAs<T>(out var message) && condition(message) ? (true, message) : (false, default), limit);
        return found ? value : null;
    }

    public async Task<(bool Found, T Value)> FirstAsync<T>(int mark, Func<HeardFrame, (bool Found, T Value)> look, TimeSpan limit)
    {
        var clock = Stopwatch.StartNew();
        while (true)
        {
            Task more;
            int end;
            lock (_lock)
            {
                more = _more.Task;
                end = _frames.Count;
            }
            foreach (var frame in Frames(mark))
                if (look(frame) is (true, _) hit) return hit;
            mark = end;
            var left = limit - clock.Elapsed;
            if (left <= TimeSpan.Zero) return (false, default!);
            try
            {
                await more.WaitAsync(left, TimeProvider.System);
            }
            catch (TimeoutException)
            {
                return (false, default!);
            }
        }
    }
}
