using System.Collections.Immutable;
using SweepRig.Rigs.Link;
using SweepRig.Rigs.Link.Messages;
using SweepRig.Rigs.Simulated;

namespace SweepRig.Wire.Campaign;

/// <summary>Listens at the rig's end of the line, and says from the rig's own record whether it ever drove without a hold of the host.</summary>
internal sealed class LeaseWitness(TimeProvider time, Action<string>? tell)
{
    private readonly FrameReader _reader = new();

    // Whole lists, one after the other: the line may still be heard while somebody looks.
    private volatile ImmutableList<long> _renewedAt = [];
    private readonly long _startedAt = time.GetTimestamp();
    private ushort _session;

    /// <summary>Time in microseconds since the rig was switched on.</summary>
    public long Now => (long)time.GetElapsedTime(_startedAt).TotalMicroseconds;

    public void Hear(ReadOnlyMemory<byte> bytes)
    {
        var input = bytes.Span;
        ReadResult result;
        while ((result = _reader.Next(ref input, out var frame)) != ReadResult.NeedMore)
        {
            if (result != ReadResult.Frame) continue;
            tell?.Invoke($"{Now,10} us reached the rig: {LinkMessages.Find(frame.Type)?.Name} {frame.Sequence} {Convert.ToHexString(frame.Payload)}");
            if (frame.Type == LinkMessages.Hello.Number && frame.Decode<Hello>(out var hello) is null) _session = hello.Session;
            else if (frame.Type != LinkMessages.Renew.Number || frame.Decode<Renew>(out var renew) is not null || renew.Session != _session) continue;
            _renewedAt = _renewedAt.Add(Now);
        }
    }

    /// <summary>Stretches of time, in microseconds, in which the rig drove or had its plate rail on; the last may still go on.</summary>
    public static IReadOnlyList<(long From, long To)> Driving(IReadOnlyList<JournalEntry> journal, int safeCode)
    {
        List<(long, long)> stretches = [];
        bool drive = false, rail = false;
        long? since = null;
        foreach (var entry in journal)
        {
            if (entry.Kind == JournalKind.DriveWritten) drive = entry.Code != safeCode;
            else if (entry.Kind == JournalKind.PlateRailSet) rail = entry.Code != 0;
            if (drive || rail) since ??= entry.AtMicroseconds;
            if (drive || rail || since is not { } from) continue;
            stretches.Add((from, entry.AtMicroseconds));
            since = null;
        }
        if (since is { } open) stretches.Add((open, long.MaxValue));
        return stretches;
    }

    /// <summary>The first moment at which it drove although nothing of the host had come for longer than the lease; null if there was none.</summary>
    public long? DroveWithoutHold(IReadOnlyList<(long From, long To)> driving, long leaseMicroseconds, long until)
    {
        var renewals = _renewedAt;
        foreach (var (from, to) in driving)
        {
            var held = renewals.LastOrDefault(r => r <= from, -1) + leaseMicroseconds;
            foreach (var renewed in renewals.Where(r => r > from && r <= to))
            {
                if (renewed > held) return held;
                held = renewed + leaseMicroseconds;
            }
            if (Math.Min(to, until) > held) return held;
        }
        return null;
    }
}
