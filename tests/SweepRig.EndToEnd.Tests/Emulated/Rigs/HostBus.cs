using System.Buffers.Binary;

namespace SweepRig.EndToEnd.Tests.Emulated.Rigs;

/// <summary>Operations of the bench bus; <c>firmware-notes/reference/boards/host/bench-bus.md</c> is its specification.</summary>
internal enum BusOperation : byte
{
    Start = 0,
    Drive = 1,
    Convert = 2,
    Supplies = 3,
    Socket = 4,
    Rest = 5,
}

/// <param name="Operation">What is asked.</param>
/// <param name="Small">Small argument.</param>
/// <param name="Argument">Argument.</param>
/// <param name="First">First figure.</param>
/// <param name="Second">Second figure.</param>
internal readonly record struct BusRequest(BusOperation Operation, byte Small, ushort Argument, uint First, uint Second)
{
    public const int Bytes = 12;

    public static BusRequest Read(ReadOnlySpan<byte> bytes) => new(
        (BusOperation)bytes[0], bytes[1], BinaryPrimitives.ReadUInt16LittleEndian(bytes[2..]),
        BinaryPrimitives.ReadUInt32LittleEndian(bytes[4..]), BinaryPrimitives.ReadUInt32LittleEndian(bytes[8..]));
}

internal static class BusReply
{
    public const int Bytes = 20;

    public static void Write(Span<byte> bytes, long benchMicroseconds, long lineMicroseconds, int value, bool stopPressed, BusOperation answered)
    {
        BinaryPrimitives.WriteInt64LittleEndian(bytes, benchMicroseconds);
        BinaryPrimitives.WriteInt64LittleEndian(bytes[8..], lineMicroseconds);
        BinaryPrimitives.WriteUInt16LittleEndian(bytes[16..], (ushort)value);
        bytes[18] = (byte)(stopPressed ? 1 : 0);
        bytes[19] = (byte)answered;
    }
}
