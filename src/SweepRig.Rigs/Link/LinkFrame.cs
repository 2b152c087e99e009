using SweepRig.Rigs.Link.Messages;

namespace SweepRig.Rigs.Link;

/// <summary>A frame that passed its check, in the buffer of the reader: valid until the next read.</summary>
public readonly ref struct LinkFrame
{
    internal LinkFrame(ReadOnlySpan<byte> bytes) => Bytes = bytes;

    /// <summary>Header and payload, without the check.</summary>
    public ReadOnlySpan<byte> Bytes { get; }

    /// <summary>Protocol version of the sender, 0 to 7. Anything but 1 must not be decoded further.</summary>
    public int Version => Bytes[0] >> 5;

    public int Type => Bytes[0] & 31;

    public byte Sequence => Bytes[1];

    public ReadOnlySpan<byte> Payload => Bytes[LinkProtocol.HeaderBytes..];

    /// <returns>Null when decoded; else what is wrong with the frame, which breaks the session.</returns>
    public FieldFault? Decode<T>(out T message)
        where T : struct, ILinkMessage<T>
    {
        var declaration = T.Declaration;
        if (Payload.Length != declaration.FixedBytes)
        {
            message = default;
            return new(declaration.Name, "(all)", $"{Payload.Length} bytes", $"{declaration.FixedBytes} bytes");
        }
        var reader = new FieldReader(declaration, Payload);
        message = T.Read(ref reader);
        if (!reader.IsComplete) throw new InvalidOperationException($"SweepRig bug: {declaration.Name} was not read to its end.");
        return reader.Fault;
    }

    /// <summary>As <see cref="Decode{T}"/>, for a message of numbers alone whose values are not wanted.</summary>
    /// <returns>Null when length and ranges are right.</returns>
    public FieldFault? Check(MessageDeclaration declaration)
    {
        if (Payload.Length != declaration.FixedBytes) return new(declaration.Name, "(all)", $"{Payload.Length} bytes", $"{declaration.FixedBytes} bytes");
        var reader = new FieldReader(declaration, Payload);
        while (!reader.IsComplete) _ = reader.Next();
        return reader.Fault;
    }
}
