using System.Buffers.Binary;
using System.IO.Hashing;
using SweepRig.Rigs.Link;
using SweepRig.Rigs.Link.Messages;

namespace SweepRig.Rigs.Simulated;

/// <summary>What may go wrong with a frame between the rig and the wire, for tests of the host.</summary>
internal sealed class LineFaults(SimulatedRigOptions options)
{
    private readonly Queue<(long Due, byte[] Frame)> _held = new();
    private readonly Random _random = new(options.Seed ^ 0x11E);
    private long _frames, _dataFrames;

    public IReadOnlyList<SimulatedFault> Faults { get; set; } = [];

    public long NextDue => _held.Count > 0 ? _held.Peek().Due : long.MaxValue;

    public void Send(long now, ReadOnlySpan<byte> wire, bool isAnswer, Action<byte[]> send)
    {
        var frame = options.ProtocolVersion == LinkProtocol.Version ? wire.ToArray() : InVersion(wire, options.ProtocolVersion);
        if (Faults.Count == 0)
        {
            send(frame);
            return;
        }
        _frames++;
        if (Fault<SimulatedFault.Mute>(now) is not null) return;
        if (Fault<SimulatedFault.LoseDataEvery>(now) is { } lose && IsData(wire) && ++_dataFrames % lose.Frames == 0) return;
        if (Fault<SimulatedFault.DamageEvery>(now) is { } damage && _frames % damage.Frames == 0) Damage(frame);
        if (Fault<SimulatedFault.Garbage>(now) is { } garbage)
        {
            var noise = new byte[garbage.Bytes];
            _random.NextBytes(noise);
            send(noise);
        }
        if (isAnswer && Fault<SimulatedFault.SlowAnswers>(now) is { } slow) _held.Enqueue((now + slow.Microseconds, frame));
        else send(frame);
    }

    public void Release(long now, Action<byte[]> send)
    {
        while (NextDue <= now) send(_held.Dequeue().Frame);
    }

    public void Forget() => _held.Clear();

    // One bit of one byte; never so that a zero appears or vanishes, which would move the frame's end.
    private void Damage(byte[] frame)
    {
        var at = _random.Next(frame.Length - 1);
        frame[at] = (byte)(frame[at] ^ 1) == 0 ? (byte)(frame[at] ^ 2) : (byte)(frame[at] ^ 1);
    }

    private static bool IsData(ReadOnlySpan<byte> wire)
    {
        Span<byte> frame = stackalloc byte[LinkProtocol.MaxFrameBytes];
        return Cobs.TryDecode(wire[..^1], frame, out var length) && length > 0 && (frame[0] & 31) == LinkMessages.Samples.Number;
    }

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
