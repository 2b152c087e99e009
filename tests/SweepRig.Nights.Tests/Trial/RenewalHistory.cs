using SweepRig.Rigs.Link;
using SweepRig.Rigs.Link.Messages;

namespace SweepRig.Nights;

/// <summary>Listens at the rig's end of the line for what holds its drive.</summary>
/// <param name="now">Microseconds of the trial.</param>
internal sealed class RenewalHistory(Func<long> now)
{
    private const long KeptMicroseconds = 20_000_000;

    private readonly Lock _lock = new();
    private readonly FrameReader _reader = new();
    private readonly Queue<long> _renewedAt = [];
    private ushort _session;

    public void Hear(ReadOnlyMemory<byte> bytes)
    {
        lock (_lock)
        {
            var input = bytes.Span;
            ReadResult result;
            while ((result = _reader.Next(ref input, out var frame)) != ReadResult.NeedMore)
            {
                if (result != ReadResult.Frame) continue;
                if (frame.Type == LinkMessages.Hello.Number && frame.Decode<Hello>(out var hello) is null) _session = hello.Session;
                else if (frame.Type != LinkMessages.Renew.Number || frame.Decode<Renew>(out var renew) is not null || renew.Session != _session) continue;
                _renewedAt.Enqueue(now());
                while (_renewedAt.Peek() < now() - KeptMicroseconds) _renewedAt.Dequeue();
            }
        }
    }

    /// <summary>True if the host was heard within the lease before a moment.</summary>
    public bool Held(long at, long lease)
    {
        lock (_lock) return _renewedAt.Any(r => r <= at && at - r <= lease);
    }

    /// <summary>The first moment of a stretch at which nothing had been heard for longer than the lease; null for none.</summary>
    public long? FirstLapse(long from, long to, long lease)
    {
        lock (_lock)
        {
            var held = _renewedAt.LastOrDefault(r => r <= from, long.MinValue / 2) + lease;
            foreach (var renewed in _renewedAt.Where(r => r > from && r <= to))
            {
                if (renewed > held) return Math.Max(from, held);
                held = renewed + lease;
            }
            return to > held ? Math.Max(from, held) : null;
        }
    }
}
