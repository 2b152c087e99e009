using System.Buffers.Binary;
using System.IO.Hashing;
using SweepRig.Domain;
using SweepRig.Domain.Runs;

namespace SweepRig.Storage.Blocks;

/// <summary>
/// A block of samples as the bytes of one database cell. Version 1, all little-endian, n samples:
/// <code>
/// byte 0       version, 1
/// byte 1       channels present, bit c for RigChannel c
/// bytes 2, 3   n
/// n x u16      point index
/// n x i64      rig time at the end of the sample, microseconds
/// n x u16      DAC code of the drive
/// n x u8       flags (SampleFlags)
/// n x u16      conversions averaged
/// n x u16      spread
/// n x u16      stored codes, once for each channel present, in the order of RigChannel
/// 4 bytes      CRC-32/ISO-HDLC of all before
/// </code>
/// Pass and frame index are columns beside the cell. A version once written is read for ever; a new layout gets a new number.
/// </summary>
internal static class BlockBlob
{
    public const byte Version = 1;

    /// <summary>Most samples of one block: n has 16 bits.</summary>
    public const int MaxSamples = ushort.MaxValue;

    private const int HeadBytes = 4;
    private const int CheckBytes = 4;
    private const int FixedBytesPerSample = 2 + 8 + 2 + 1 + 2 + 2;

    /// <exception cref="ArgumentException">The columns of the block do not have one length, or it holds too many samples: a bug of the caller.</exception>
    public static byte[] Encode(SampleBlock block)
    {
        var n = block.Count;
        RequireEqualColumns(block, n);
        var channels = 0;
        var present = 0;
        for (var c = 0; c < block.Codes.Length; c++)
        {
            if (block.Codes[c].Length == 0) continue;
            channels |= 1 << c;
            present++;
        }

        var blob = new byte[HeadBytes + n * (FixedBytesPerSample + 2 * present) + CheckBytes];
        blob[0] = Version;
        blob[1] = (byte)channels;
        BinaryPrimitives.WriteUInt16LittleEndian(blob.AsSpan(2), (ushort)n);
        var writer = new ColumnWriter(blob.AsSpan(HeadBytes));
        writer.Write(block.PointIndex);
        writer.Write(block.SampledAtTicks);
        writer.Write(block.DriveCode);
        writer.Write(block.Flags);
        writer.Write(block.AveragedCount);
        writer.Write(block.Spread);
        foreach (var codes in block.Codes) writer.Write(codes);
        BinaryPrimitives.WriteUInt32LittleEndian(blob.AsSpan(blob.Length - CheckBytes), Crc32.HashToUInt32(blob.AsSpan(0, blob.Length - CheckBytes)));
        return blob;
    }

    /// <exception cref="InvalidDataException">The bytes are of a later version, or damaged.</exception>
    public static SampleBlock Decode(int pass, int frameIndex, ReadOnlySpan<byte> blob)
    {
        if (blob.Length < HeadBytes + CheckBytes) throw new InvalidDataException($"A block of {blob.Length} bytes is too short to be one.");
        if (blob[0] != Version) throw new InvalidDataException($"A block has layout {blob[0]}; this program knows layout {Version}.");
        var body = blob[..^CheckBytes];
        if (Crc32.HashToUInt32(body) != BinaryPrimitives.ReadUInt32LittleEndian(blob[^CheckBytes..]))
            throw new InvalidDataException("A block fails its check sum; its bytes have changed since they were written.");

        var channels = blob[1];
        var n = BinaryPrimitives.ReadUInt16LittleEndian(blob[2..]);
        var present = System.Numerics.BitOperations.PopCount(channels);
        if (channels >> RigChannels.Count != 0 || body.Length != HeadBytes + n * (FixedBytesPerSample + 2 * present))
            throw new InvalidDataException($"A block says {n} samples of {present} channels, which does not fit its {blob.Length} bytes.");

        var reader = new ColumnReader(body[HeadBytes..], n);
        var pointIndex = reader.UInt16();
        var sampledAtTicks = reader.Int64();
        var driveCode = reader.UInt16();
        var flags = reader.Flags();
        var averaged = reader.UInt16();
        var spread = reader.UInt16();
        var codes = new ushort[RigChannels.Count][];
        for (var c = 0; c < codes.Length; c++) codes[c] = (channels & (1 << c)) != 0 ? reader.UInt16() : [];
        return new SampleBlock
        {
            Pass = pass,
            FrameIndex = frameIndex,
            PointIndex = pointIndex,
            SampledAtTicks = sampledAtTicks,
            DriveCode = driveCode,
            Flags = flags,
            AveragedCount = averaged,
            Spread = spread,
            Codes = codes,
        };
    }

    private static void RequireEqualColumns(SampleBlock block, int n)
    {
        var equal = block.SampledAtTicks.Length == n && block.DriveCode.Length == n && block.Flags.Length == n &&
            block.AveragedCount.Length == n && block.Spread.Length == n && block.Codes.Length == RigChannels.Count &&
            Array.TrueForAll(block.Codes, codes => codes.Length == 0 || codes.Length == n);
        if (!equal) throw new ArgumentException($"SweepRig bug: the columns of a block of {n} samples differ in length.", nameof(block));
        if (n > MaxSamples) throw new ArgumentException($"SweepRig bug: a block of {n} samples; at most {MaxSamples} fit.", nameof(block));
    }
}
