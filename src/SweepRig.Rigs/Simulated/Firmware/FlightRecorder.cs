using System.Buffers.Binary;
using SweepRig.Rigs.Link;
using SweepRig.Rigs.Link.Messages;

namespace SweepRig.Rigs.Simulated.Firmware;

/// <summary>The latest 64 messages in both directions, a few bytes of each, read out after a trip.</summary>
internal sealed class FlightRecorder
{
    public const int Capacity = 64;

    private readonly (uint Time, byte Header, byte Sequence, ushort Detail)[] _ring = new (uint, byte, byte, ushort)[Capacity];
    private int _written;

    public int Count => Math.Min(_written, Capacity);

    public static int RecordsInFrame => (LinkProtocol.MaxPayloadBytes - LinkMessages.FlightRecord.FixedBytes) / LinkMessages.FlightRecord.RecordBytes;

    public void Note(uint rigTime, byte header, byte sequence, ReadOnlySpan<byte> payload)
    {
        var detail = (payload.Length > 0 ? payload[0] : 0) | (payload.Length > 1 ? payload[1] << 8 : 0);
        _ring[_written % Capacity] = (rigTime, header, sequence, (ushort)detail);
        // Keeps the count from ever wrapping while the place in the ring stays right.
        if (++_written == 3 * Capacity) _written = 2 * Capacity;
    }

    /// <summary>Lays out one FlightRecord payload, records oldest first.</summary>
    /// <param name="first">Place of the first record.</param>
    /// <param name="payload">At least <see cref="LinkProtocol.MaxPayloadBytes"/> long.</param>
    /// <param name="records">Records laid out.</param>
    /// <returns>Bytes of the payload.</returns>
    public int Lay(int first, Span<byte> payload, out int records)
    {
        records = Math.Min(RecordsInFrame, Count - first);
        payload[0] = (byte)first;
        payload[1] = (byte)records;
        var at = LinkMessages.FlightRecord.FixedBytes;
        for (var i = 0; i < records; i++)
        {
            var (time, header, sequence, detail) = _ring[(_written - Count + first + i) % Capacity];
            BinaryPrimitives.WriteUInt32LittleEndian(payload[at..], time);
            payload[at + 4] = header;
            payload[at + 5] = sequence;
            BinaryPrimitives.WriteUInt16LittleEndian(payload[(at + 6)..], detail);
            at += LinkMessages.FlightRecord.RecordBytes;
        }
        return at;
    }
}
