using System.Buffers.Binary;
using System.IO.Hashing;

namespace SweepRig.Rigs.Link;

public enum ReadResult
{
    /// <summary>All input is used up.</summary>
    NeedMore,

    /// <summary>A good frame.</summary>
    Frame,

    /// <summary>Something between two 0x00 that is no frame; it was counted, see <see cref="FrameReader.DamagedHex"/>.</summary>
    Damaged,
}

/// <summary>Takes bytes as they come and finds the frames in them. Holds at most one frame, whatever the peer sends. For one task.</summary>
public sealed class FrameReader
{
    private readonly byte[] wire = new byte[LinkProtocol.MaxWireBytes];
    private readonly byte[] frame = new byte[LinkProtocol.MaxFrameBytes];
    private int held;
    private bool tooLong;
    private bool inStep;

    // The piece stays readable in DamagedHex until the next call.
    private bool ended;

    /// <summary>Good frames so far.</summary>
    public long Frames { get; private set; }

    /// <summary>Pieces dropped so far. What came before the first 0x00 is the tail of something and does not count.</summary>
    public long Damaged { get; private set; }

    /// <summary>The latest piece dropped, as received, cut at the length of the longest frame.</summary>
    public string DamagedHex => Convert.ToHexString(wire.AsSpan(0, held)) + (tooLong ? "..." : "");

    /// <param name="input">Bytes received; moved on past those used.</param>
    /// <param name="found">The frame, with <see cref="ReadResult.Frame"/>.</param>
    public ReadResult Next(ref ReadOnlySpan<byte> input, out LinkFrame found)
    {
        found = default;
        if (ended) Drop();
        while (!input.IsEmpty)
        {
            var end = input.IndexOf((byte)0);
            Hold(end < 0 ? input : input[..end]);
            input = end < 0 ? default : input[(end + 1)..];
            if (end < 0) break;
            var counts = inStep;
            inStep = true;
            if (held == 0) continue;
            ended = true;
            if (TryOpen(out found))
            {
                Frames++;
                return ReadResult.Frame;
            }
            if (counts)
            {
                Damaged++;
                return ReadResult.Damaged;
            }
            Drop();
        }
        return ReadResult.NeedMore;
    }

    private void Drop() => (held, tooLong, ended) = (0, false, false);

    private void Hold(ReadOnlySpan<byte> piece)
    {
        var fits = Math.Min(piece.Length, wire.Length - held);
        piece[..fits].CopyTo(wire.AsSpan(held));
        held += fits;
        tooLong |= fits < piece.Length;
    }

    private bool TryOpen(out LinkFrame found)
    {
        found = default;
        if (tooLong || !Cobs.TryDecode(wire.AsSpan(0, held), frame, out var length)) return false;
        var body = length - LinkProtocol.CheckBytes;
        if (body < LinkProtocol.HeaderBytes) return false;
        if (Crc32.HashToUInt32(frame.AsSpan(0, body)) != BinaryPrimitives.ReadUInt32LittleEndian(frame.AsSpan(body))) return false;
        found = new(frame.AsSpan(0, body));
        return true;
    }
}
