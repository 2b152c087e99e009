using System.Buffers.Binary;
using System.Numerics;
using SweepRig.Domain;
using SweepRig.Domain.Runs;
using SweepRig.Rigs.Link.Messages;

namespace SweepRig.Rigs.Link;

/// <summary>A decoded Samples frame: the program it belongs to, and its columns without a pass or 64-bit time yet.</summary>
/// <param name="Program">Number that the host gave the program.</param>
/// <param name="Frame">Running number within the program.</param>
/// <param name="TimeMicroseconds">Low 32 bits of the rig clock at the end of the first sample.</param>
/// <param name="FirstPoint">Point number of the first sample.</param>
/// <param name="Averaged">Conversions averaged in each sample.</param>
/// <param name="Mask">Channels present.</param>
/// <param name="Count">Samples.</param>
public readonly record struct SampleHeader(ushort Program, ushort Frame, uint TimeMicroseconds, ushort FirstPoint, ushort Averaged, byte Mask, byte Count)
    : ILinkMessage<SampleHeader>
{
    public static MessageDeclaration Declaration => LinkMessages.Samples;

    public int RecordBytes => RecordBytesOf(Mask);

    public static int RecordBytesOf(byte mask) => LinkMessages.Samples.RecordBytes + 2 * BitOperations.PopCount(mask);

    /// <summary>Samples that fit into one frame.</summary>
    public static int CapacityOf(byte mask) => (LinkProtocol.MaxPayloadBytes - LinkMessages.Samples.FixedBytes) / RecordBytesOf(mask);

    public void Write(ref FieldWriter writer)
    {
        writer.Put(Program);
        writer.Put(Frame);
        writer.Put(TimeMicroseconds);
        writer.Put(FirstPoint);
        writer.Put(Averaged);
        writer.Put(Mask);
        writer.Put(Count);
    }

    public static SampleHeader Read(ref FieldReader reader) => new(
        (ushort)reader.Next(), (ushort)reader.Next(), (uint)reader.Next(), (ushort)reader.Next(), (ushort)reader.Next(), (byte)reader.Next(), (byte)reader.Next());
}

/// <summary>Reads Samples frames straight into the columns of a block: arrays for each frame, nothing for each sample.</summary>
public static class SampleFrame
{
    /// <returns>Null when the header is good and the length fits it; else what is wrong, which breaks the session.</returns>
    public static FieldFault? DecodeHeader(LinkFrame frame, out SampleHeader header)
    {
        var declaration = LinkMessages.Samples;
        header = default;
        if (frame.Payload.Length < declaration.FixedBytes)
            return new(declaration.Name, "(all)", $"{frame.Payload.Length} bytes", $"at least {declaration.FixedBytes} bytes");
        var reader = new FieldReader(declaration, frame.Payload);
        header = SampleHeader.Read(ref reader);
        if (reader.Fault is not null) return reader.Fault;
        var expected = declaration.FixedBytes + header.Count * header.RecordBytes;
        if (frame.Payload.Length != expected)
            return new(declaration.Name, "(all)", $"{frame.Payload.Length} bytes", $"{expected} bytes for count {header.Count} and mask {header.Mask}");
        return header.FirstPoint + header.Count > 65536
            ? new(declaration.Name, "count", $"{header.Count}", $"{65536 - header.FirstPoint} from point {header.FirstPoint} on")
            : null;
    }

    /// <param name="frame">A frame whose header was decoded without fault.</param>
    /// <param name="header">That header.</param>
    /// <param name="pass">Pass that the program belongs to.</param>
    /// <param name="frameIndex">Number of the frame within the pass.</param>
    /// <param name="sampledAtTicks">Rig clock of the first sample, extended to 64 bit.</param>
    /// <param name="repeated">True for points measured again.</param>
    /// <param name="block">The samples.</param>
    /// <returns>Null when decoded; else the field at fault.</returns>
    public static FieldFault? DecodeSamples(
        LinkFrame frame, SampleHeader header, int pass, int frameIndex, long sampledAtTicks, bool repeated, out SampleBlock? block)
    {
        int count = header.Count;
        var points = new ushort[count];
        var times = new long[count];
        var drive = new ushort[count];
        var flags = new SampleFlags[count];
        var averaged = new ushort[count];
        var spread = new ushort[count];
        var codes = new ushort[RigChannels.Count][];
        for (var channel = 0; channel < codes.Length; channel++) codes[channel] = (header.Mask & (1 << channel)) != 0 ? new ushort[count] : [];

        block = null;
        var flagsField = LinkMessages.Samples.Records[2];
        var at = frame.Payload[LinkMessages.Samples.FixedBytes..];
        for (var i = 0; i < count; i++)
        {
            points[i] = (ushort)(header.FirstPoint + i);
            times[i] = sampledAtTicks + BinaryPrimitives.ReadUInt16LittleEndian(at);
            drive[i] = BinaryPrimitives.ReadUInt16LittleEndian(at[2..]);
            if (!flagsField.Allows(at[4])) return FieldFault.OutOfRange(LinkMessages.Samples, flagsField, at[4]);
            flags[i] = (SampleFlags)at[4] | (repeated ? SampleFlags.Repeated : SampleFlags.None);
            spread[i] = BinaryPrimitives.ReadUInt16LittleEndian(at[5..]);
            averaged[i] = header.Averaged;
            at = at[LinkMessages.Samples.RecordBytes..];
            foreach (var column in codes)
            {
                if (column.Length == 0) continue;
                column[i] = BinaryPrimitives.ReadUInt16LittleEndian(at);
                at = at[2..];
            }
        }
        block = new()
        {
            Pass = pass, FrameIndex = frameIndex, PointIndex = points, SampledAtTicks = times, DriveCode = drive,
            Flags = flags, AveragedCount = averaged, Spread = spread, Codes = codes,
        };
        return null;
    }
}
