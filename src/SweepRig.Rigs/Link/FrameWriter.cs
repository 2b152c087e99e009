using System.Buffers.Binary;
using System.IO.Hashing;
using SweepRig.Rigs.Link.Messages;

namespace SweepRig.Rigs.Link;

/// <summary>Puts messages into frames as they go over the wire: header, payload, CRC-32/ISO-HDLC, stuffing, 0x00.</summary>
public static class FrameWriter
{
    /// <param name="message">What to send.</param>
    /// <param name="sequence">Sequence byte.</param>
    /// <param name="destination">At least <see cref="LinkProtocol.MaxWireBytes"/> long.</param>
    /// <param name="written">Bytes to send, the 0x00 included; 0 with a fault.</param>
    /// <returns>Null when written; else the field that is out of its declared range.</returns>
    public static FieldFault? TryWrite<T>(in T message, byte sequence, Span<byte> destination, out int written)
        where T : struct, ILinkMessage<T>
    {
        Span<byte> payload = stackalloc byte[LinkProtocol.MaxPayloadBytes];
        var writer = new FieldWriter(T.Declaration, payload);
        message.Write(ref writer);
        if (!writer.IsComplete) throw new InvalidOperationException($"SweepRig bug: {T.Declaration.Name} was not written to its end.");
        written = writer.Fault is null ? Write(T.Declaration, sequence, payload[..writer.Written], destination) : 0;
        return writer.Fault;
    }

    /// <summary>As <see cref="TryWrite{T}"/>, for a sender that has checked its values.</summary>
    /// <exception cref="InvalidOperationException">A field is out of its declared range.</exception>
    public static int Write<T>(in T message, byte sequence, Span<byte> destination)
        where T : struct, ILinkMessage<T> =>
        TryWrite(message, sequence, destination, out var written) is { } fault
            ? throw new InvalidOperationException($"SweepRig bug: {fault}.")
            : written;

    /// <summary>Frames a payload that is already laid out.</summary>
    /// <returns>Bytes to send, the 0x00 included.</returns>
    public static int Write(MessageDeclaration declaration, byte sequence, ReadOnlySpan<byte> payload, Span<byte> destination)
    {
        Span<byte> frame = stackalloc byte[LinkProtocol.MaxFrameBytes];
        frame[0] = (byte)((LinkProtocol.Version << 5) | declaration.Number);
        frame[1] = sequence;
        payload.CopyTo(frame[LinkProtocol.HeaderBytes..]);
        var length = LinkProtocol.HeaderBytes + payload.Length;
        BinaryPrimitives.WriteUInt32LittleEndian(frame[length..], Crc32.HashToUInt32(frame[..length]));
        var written = Cobs.Encode(frame[..(length + LinkProtocol.CheckBytes)], destination);
        destination[written++] = 0;
        return written;
    }
}
