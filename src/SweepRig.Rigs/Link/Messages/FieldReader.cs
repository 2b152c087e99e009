using System.Buffers.Binary;
using System.Text;

namespace SweepRig.Rigs.Link.Messages;

/// <summary>Reads the fields of a message in the order, width and range of its declaration. Keeps the first fault.</summary>
public ref struct FieldReader
{
    private readonly MessageDeclaration message;
    private readonly ReadOnlySpan<byte> source;
    private int index;
    private int at;

    /// <param name="message">What is read.</param>
    /// <param name="source">Its payload, at least as long as the message's fixed part.</param>
    public FieldReader(MessageDeclaration message, ReadOnlySpan<byte> source)
    {
        this.message = message;
        this.source = source;
    }

    public FieldFault? Fault { get; private set; }

    public readonly bool IsComplete => index == message.Fields.Length;

    public long Next()
    {
        var declaration = message.Fields[index++];
        var from = source[at..];
        long value = declaration.Type switch
        {
            FieldType.U8 => from[0],
            FieldType.U16 => BinaryPrimitives.ReadUInt16LittleEndian(from),
            FieldType.U32 => BinaryPrimitives.ReadUInt32LittleEndian(from),
            FieldType.I32 => BinaryPrimitives.ReadInt32LittleEndian(from),
            FieldType.U64 => (long)BinaryPrimitives.ReadUInt64LittleEndian(from),
            _ => throw new InvalidOperationException($"SweepRig bug: {message.Name}.{declaration.Name} is not a number."),
        };
        if (!declaration.Allows(value)) Fault ??= FieldFault.OutOfRange(message, declaration, value);
        at += declaration.Bytes;
        return value;
    }

    public string NextText()
    {
        var declaration = message.Fields[index++];
        var from = source.Slice(at, declaration.Bytes);
        at += declaration.Bytes;
        var end = from.IndexOf((byte)0);
        var text = end < 0 ? from : from[..end];
        var fill = end < 0 ? default : from[end..];
        if (fill.ContainsAnyExcept((byte)0) || text.ContainsAnyExceptInRange((byte)0x20, (byte)0x7E))
            Fault ??= new(message.Name, declaration.Name, Convert.ToHexString(from), "printable ASCII filled up with 00");
        return Encoding.Latin1.GetString(text);
    }
}
