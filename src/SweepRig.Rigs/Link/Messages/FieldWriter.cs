using System.Buffers.Binary;

namespace SweepRig.Rigs.Link.Messages;

/// <summary>Writes the fields of a message in the order, width and range of its declaration. Keeps the first fault.</summary>
public ref struct FieldWriter
{
    private readonly MessageDeclaration message;
    private readonly Span<byte> destination;
    private int index;

    /// <param name="message">What is written.</param>
    /// <param name="destination">At least as long as the message's fixed part.</param>
    public FieldWriter(MessageDeclaration message, Span<byte> destination)
    {
        this.message = message;
        this.destination = destination;
    }

    public int Written { get; private set; }

    public FieldFault? Fault { get; private set; }

    public readonly bool IsComplete => index == message.Fields.Length;

    public void Put(long value)
    {
        var declaration = message.Fields[index++];
        if (!declaration.Allows(value)) Fault ??= FieldFault.OutOfRange(message, declaration, value);
        var to = destination[Written..];
        switch (declaration.Type)
        {
            case FieldType.U8: to[0] = (byte)value; break;
            case FieldType.U16: BinaryPrimitives.WriteUInt16LittleEndian(to, (ushort)value); break;
            case FieldType.U32: BinaryPrimitives.WriteUInt32LittleEndian(to, (uint)value); break;
            case FieldType.I32: BinaryPrimitives.WriteInt32LittleEndian(to, (int)value); break;
            case FieldType.U64: BinaryPrimitives.WriteUInt64LittleEndian(to, (ulong)value); break;
            default: throw new InvalidOperationException($"SweepRig bug: {message.Name}.{declaration.Name} is not a number.");
        }
        Written += declaration.Bytes;
    }

    public void Put(string text)
    {
        var declaration = message.Fields[index++];
        if (declaration.Type != FieldType.Text) throw new InvalidOperationException($"SweepRig bug: {message.Name}.{declaration.Name} is not a text.");
        var to = destination.Slice(Written, declaration.Bytes);
        to.Clear();
        for (var i = 0; i < Math.Min(text.Length, to.Length); i++) to[i] = (byte)text[i];
        if (text.Length > to.Length || text.Any(c => c is < ' ' or > '~'))
            Fault ??= new(message.Name, declaration.Name, $"'{text}'", $"{to.Length} printable ASCII characters");
        Written += declaration.Bytes;
    }
}
