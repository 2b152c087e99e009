using System.Buffers.Binary;
using System.IO.Compression;
using System.IO.Hashing;
using SweepRig.Domain;
using SweepRig.Domain.Runs;

namespace SweepRig.Storage.Blocks;

/// <summary>
/// Many blocks of an ended run as the bytes of one database cell. A link sends a few samples a frame, and each block in a cell of its own would spend more on
/// its place than on its samples. Version 2, little-endian:
/// <code>
/// byte 0        version, 2
/// bytes 1 to 4  length of the content, u32
/// ...           the content, compressed (RFC 7932)
/// 4 bytes       CRC-32/ISO-HDLC of all before
/// </code>
/// The content: number of blocks, then pass, frame index, samples and channels (bit c for RigChannel c) of each, as variable-length numbers; then column after
/// column over all samples, as <see cref="PackWriter"/> writes them: point index, rig time, DAC code, flags, conversions averaged, spread, and the codes of
/// each channel over the blocks that have it. A version once written is read for ever; a new layout gets a new number.
/// </summary>
internal static class BlockPack
{
    public const byte Version = 2;

    /// <summary>Samples that go into one cell, unless a single block has more: as many as are wanted at once, and few to unpack for the sake of one.</summary>
    public const int Samples = 8192;

    private const int HeadBytes = 5;
    private const int CheckBytes = 4;

    // Of .NET's qualities 0 to 11: higher ones gain 1 % on codes with noise in them and take many times as long.
    private const int Quality = 5, WindowBits = 18;

    public static byte[] Encode(IReadOnlyList<SampleBlock> blocks)
    {
        var writer = new PackWriter();
        writer.Number((ulong)blocks.Count);
        foreach (var block in blocks)
        {
            writer.Number((ulong)block.Pass);
            writer.Number((ulong)block.FrameIndex);
            writer.Number((ulong)block.Count);
            writer.Number((ulong)ChannelsOf(block));
        }
        writer.Steps(All(blocks, b => b.PointIndex));
        writer.Times(All(blocks, b => b.SampledAtTicks));
        writer.Steps(All(blocks, b => b.DriveCode));
        writer.Bytes(All(blocks, b => b.Flags), f => (byte)f);
        writer.Steps(All(blocks, b => b.AveragedCount));
        writer.Values(All(blocks, b => b.Spread));
        for (var c = 0; c < RigChannels.Count; c++) writer.Steps(All(blocks, b => b.Codes[c]));

        var content = writer.Written;
        var cell = new byte[HeadBytes + BrotliEncoder.GetMaxCompressedLength(content.Length) + CheckBytes];
        cell[0] = Version;
        BinaryPrimitives.WriteUInt32LittleEndian(cell.AsSpan(1), (uint)content.Length);
        if (!BrotliEncoder.TryCompress(content, cell.AsSpan(HeadBytes, cell.Length - HeadBytes - CheckBytes), out var length, Quality, WindowBits))
            throw new InvalidOperationException("SweepRig bug: compressed blocks do not fit their largest size.");
        var end = HeadBytes + length;
        BinaryPrimitives.WriteUInt32LittleEndian(cell.AsSpan(end), Crc32.HashToUInt32(cell.AsSpan(0, end)));
        return cell[..(end + CheckBytes)];
    }

    /// <exception cref="InvalidDataException">The bytes are of a later version, or damaged.</exception>
    public static IReadOnlyList<SampleBlock> Decode(ReadOnlySpan<byte> cell)
    {
        if (cell.Length < HeadBytes + CheckBytes) throw new InvalidDataException($"A pack of {cell.Length} bytes is too short to be one.");
        if (cell[0] != Version) throw new InvalidDataException($"A pack has layout {cell[0]}; this program knows layout {Version}.");
        if (Crc32.HashToUInt32(cell[..^CheckBytes]) != BinaryPrimitives.ReadUInt32LittleEndian(cell[^CheckBytes..]))
            throw new InvalidDataException("A pack fails its check sum; its bytes have changed since they were written.");
        var content = new byte[BinaryPrimitives.ReadUInt32LittleEndian(cell[1..])];
        if (!BrotliDecoder.TryDecompress(cell[HeadBytes..^CheckBytes], content, out var length) || length != content.Length)
            throw new InvalidDataException("A pack does not unpack to the length that it says.");

        var reader = new PackReader(content);
        var heads = new (int Pass, int Frame, int Count, int Channels)[reader.Count()];
        for (var i = 0; i < heads.Length; i++) heads[i] = (reader.Count(), reader.Count(), reader.Count(), reader.Count());
        var total = heads.Sum(h => h.Count);
        var points = reader.Steps(total);
        var times = reader.Times(total);
        var drives = reader.Steps(total);
        var flags = reader.Bytes(total).Select(b => (SampleFlags)b).ToArray();
        var averaged = reader.Steps(total);
        var spread = reader.Values(total);
        var codes = new ushort[RigChannels.Count][];
        for (var c = 0; c < codes.Length; c++) codes[c] = reader.Steps(heads.Where(h => (h.Channels & (1 << c)) != 0).Sum(h => h.Count));

        var blocks = new SampleBlock[heads.Length];
        var from = 0;
        var codesFrom = new int[RigChannels.Count];
        for (var i = 0; i < blocks.Length; i++)
        {
            var (pass, frame, count, channels) = heads[i];
            var range = from..(from + count);
            var own = new ushort[RigChannels.Count][];
            for (var c = 0; c < own.Length; c++)
            {
                own[c] = (channels & (1 << c)) == 0 ? [] : codes[c][codesFrom[c]..(codesFrom[c] + count)];
                codesFrom[c] += own[c].Length;
            }
            blocks[i] = new()
            {
                Pass = pass,
                FrameIndex = frame,
                PointIndex = points[range],
                SampledAtTicks = times[range],
                DriveCode = drives[range],
                Flags = flags[range],
                AveragedCount = averaged[range],
                Spread = spread[range],
                Codes = own,
            };
            from += count;
        }
        return blocks;
    }

    private static int ChannelsOf(SampleBlock block)
    {
        var channels = 0;
        for (var c = 0; c < block.Codes.Length; c++)
            if (block.Codes[c].Length > 0) channels |= 1 << c;
        return channels;
    }

    private static T[] All<T>(IReadOnlyList<SampleBlock> blocks, Func<SampleBlock, T[]> column) => [.. blocks.SelectMany(column)];
}
