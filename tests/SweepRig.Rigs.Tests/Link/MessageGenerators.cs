using CsCheck;
using SweepRig.Rigs.Link;
using SweepRig.Rigs.Link.Messages;

namespace SweepRig.Rigs.Tests.Link;

/// <summary>Payloads made from the declarations alone, field by field, without the message types.</summary>
internal static class MessageGenerators
{
    /// <summary>A payload whose fields are all within their declared ranges, bounds included more often than chance would.</summary>
    public static Gen<byte[]> Payload(MessageDeclaration message) =>
        message == LinkMessages.Samples ? Samples : Fixed(message);

    /// <summary>Every field at the bottom of its range, texts empty.</summary>
    public static byte[] Lowest(MessageDeclaration message) =>
        [.. message.Fields.SelectMany(f => f.Type == FieldType.Text ? new byte[f.Bytes] : BitConverter.GetBytes(f.Min)[..f.Bytes])];

    private static Gen<byte[]> Samples =>
        from mask in Gen.Int[1, 31]
        from count in Gen.Int[1, SampleHeader.CapacityOf((byte)mask)]
        from head in Fixed(LinkMessages.Samples)
        from first in Gen.Int[0, 65536 - count]
        from records in Gen.Byte.Array[count * SampleHeader.RecordBytesOf((byte)mask)]
        select Lay(head, records, mask, count, first);

    private static byte[] Lay(byte[] head, byte[] records, int mask, int count, int first)
    {
        BitConverter.TryWriteBytes(head.AsSpan(8), (ushort)first);
        head[12] = (byte)mask;
        head[13] = (byte)count;
        for (var i = 4; i < records.Length; i += records.Length / count) records[i] &= 3;
        return [.. head, .. records];
    }

    private static Gen<byte[]> Fixed(MessageDeclaration message) => message.Fields.Length == 0
        ? Gen.Const(Array.Empty<byte>())
        : message.Fields.Select(Field).Aggregate((all, next) => Gen.Select(all, next, (a, b) => (byte[])[.. a, .. b]));

    private static Gen<byte[]> Field(FieldDeclaration field)
    {
        if (field.Type == FieldType.Text)
            return Gen.Char[' ', '~'].Array[0, field.Bytes].Select(text => (byte[])[.. text.Select(c => (byte)c), .. new byte[field.Bytes - text.Length]]);
        var value = field.OneOf is { } allowed
            ? Gen.OneOf([.. allowed.Select(Gen.Const)])
            : Gen.OneOf(Gen.Long[field.Min, field.Max], Gen.OneOf(Gen.Const(field.Min), Gen.Const(field.Max)));
        return value.Select(v => BitConverter.GetBytes(v)[..field.Bytes]);
    }
}
