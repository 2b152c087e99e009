using System.Buffers.Binary;
using SweepRig.Domain.Runs;
using SweepRig.Rigs.Link.Messages;

namespace SweepRig.Rigs.Link;

/// <summary>
/// The rig's side of Samples: gathers samples until the frame is full or the next one does not fit its rules (consecutive points, one
/// averaged count, within 65.535 ms). Allocates nothing after construction. For one task.
/// </summary>
/// <param name="program">Number of the program.</param>
/// <param name="mask">Channels of each sample.</param>
public sealed class SampleFrameBuilder(ushort program, byte mask)
{
    private readonly byte[] payload = new byte[LinkProtocol.MaxPayloadBytes];
    private readonly int capacity = SampleHeader.CapacityOf(mask);
    private ushort frame;
    private int count;
    private int length;
    private int firstPoint;
    private ushort averaged;

    /// <summary>Frames written so far.</summary>
    public int Frames => frame;

    /// <summary>Samples waiting.</summary>
    public int Count => count;

    /// <summary>Rig clock at the end of the oldest sample waiting, in microseconds.</summary>
    public long OldestMicroseconds { get; private set; }

    /// <returns>False if the frame must be written first (see <see cref="Write"/>); the sample was not taken.</returns>
    public bool TryAdd(
        int point, long sampledAtMicroseconds, ushort driveCode, SampleFlags flags, ushort averagedCount, ushort spread, ReadOnlySpan<ushort> codes)
    {
        var delay = sampledAtMicroseconds - OldestMicroseconds;
        if (count == 0)
        {
            (OldestMicroseconds, firstPoint, averaged, delay) = (sampledAtMicroseconds, point, averagedCount, 0);
            length = LinkMessages.Samples.FixedBytes;
        }
        else if (count == capacity || point != firstPoint + count || averagedCount != averaged || delay > ushort.MaxValue)
        {
            return false;
        }
        var to = payload.AsSpan(length);
        BinaryPrimitives.WriteUInt16LittleEndian(to, (ushort)delay);
        BinaryPrimitives.WriteUInt16LittleEndian(to[2..], driveCode);
        to[4] = (byte)flags;
        BinaryPrimitives.WriteUInt16LittleEndian(to[5..], spread);
        to = to[LinkMessages.Samples.RecordBytes..];
        for (var i = 0; i < codes.Length; i++) BinaryPrimitives.WriteUInt16LittleEndian(to[(2 * i)..], codes[i]);
        length += LinkMessages.Samples.RecordBytes + 2 * codes.Length;
        count++;
        return true;
    }

    /// <summary>Writes the samples waiting as one frame.</summary>
    /// <returns>Bytes to send; 0 if none wait.</returns>
    public int Write(byte sequence, Span<byte> destination)
    {
        if (count == 0) return 0;
        var header = new SampleHeader(program, frame++, (uint)OldestMicroseconds, (ushort)firstPoint, averaged, mask, (byte)count);
        var writer = new FieldWriter(LinkMessages.Samples, payload);
        header.Write(ref writer);
        if (writer.Fault is not null) throw new InvalidOperationException($"SweepRig bug: {writer.Fault}.");
        count = 0;
        return FrameWriter.Write(LinkMessages.Samples, sequence, payload.AsSpan(0, length), destination);
    }
}
