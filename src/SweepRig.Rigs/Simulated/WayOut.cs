using System.Buffers.Binary;
using System.IO.Hashing;
using SweepRig.Rigs.Link;

namespace SweepRig.Rigs.Simulated;

/// <summary>How a rig that is not well hands its frames to the line: not at all, late, or in another version of the link. What a line does to them is not its matter.</summary>
internal sealed class WayOut(SimulatedRigOptions options)
{
    private readonly Queue<(long Due, byte[] Frame)> _held = new();

    public IReadOnlyList<SimulatedFault> Faults { get; set; } = [];

    public long NextDue => _held.Count > 0 ? _held.Peek().Due : long.MaxValue;

    public void Send(long now, ReadOnlySpan<byte> wire, bool isAnswer, Action<byte[]> send)
    {
        var frame = options.ProtocolVersion == LinkProtocol.Version ? wire.ToArray() : InVersion(wire, options.ProtocolVersion);
        if (Fault<SimulatedFault.Mute>(now) is not null) return;
        if (isAnswer && Fault<SimulatedFault.SlowAnswers>(now) is { } slow) _held.Enqueue((now + slow.Microseconds, frame));
        else send(frame);
    }

    public void Release(long now, Action<byte[]> send)
    {
        while (NextDue <= now) send(_held.Dequeue().Frame);
    }

    public void Forget() => _held.Clear();

    private static byte[] InVersion(ReadOnlySpan<byte> wire, int version)
    {
        Span<byte> frame = stackalloc byte[LinkProtocol.MaxFrameBytes];
        if (!Cobs.TryDecode(wire[..^1], frame, out var length)) throw new InvalidOperationException("SweepRig bug: a frame of our own does not decode.");
        frame[0] = (byte)((version << 5) | (frame[0] & 31));
        var body = length - LinkProtocol.CheckBytes;
        BinaryPrimitives.WriteUInt32LittleEndian(frame[body..], Crc32.HashToUInt32(frame[..body]));
        Span<byte> encoded = stackalloc byte[LinkProtocol.MaxWireBytes];
        var written = Cobs.Encode(frame[..length], encoded);
        encoded[written] = 0;
        return encoded[..(written + 1)].ToArray();
    }

    private T? Fault<T>(long now)
        where T : SimulatedFault
    {
        foreach (var fault in Faults)
            if (fault is T found && found.IsPresent(now)) return found;
        return null;
    }
}
