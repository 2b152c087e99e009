using System.Buffers.Binary;
using SweepRig.Domain.Runs;

namespace SweepRig.Storage.Blocks;

/// <summary>Writes little-endian columns one after the other.</summary>
internal ref struct ColumnWriter(Span<byte> rest)
{
    private Span<byte> _rest = rest;

    public void Write(ReadOnlySpan<ushort> column)
    {
        for (var i = 0; i < column.Length; i++) BinaryPrimitives.WriteUInt16LittleEndian(_rest[(2 * i)..], column[i]);
        _rest = _rest[(2 * column.Length)..];
    }

    public void Write(ReadOnlySpan<long> column)
    {
        for (var i = 0; i < column.Length; i++) BinaryPrimitives.WriteInt64LittleEndian(_rest[(8 * i)..], column[i]);
        _rest = _rest[(8 * column.Length)..];
    }

    public void Write(ReadOnlySpan<SampleFlags> column)
    {
        for (var i = 0; i < column.Length; i++) _rest[i] = (byte)column[i];
        _rest = _rest[column.Length..];
    }
}

/// <summary>Reads little-endian columns of one length, one after the other.</summary>
internal ref struct ColumnReader(ReadOnlySpan<byte> rest, int count)
{
    private ReadOnlySpan<byte> _rest = rest;

    public ushort[] UInt16()
    {
        var column = new ushort[count];
        for (var i = 0; i < count; i++) column[i] = BinaryPrimitives.ReadUInt16LittleEndian(_rest[(2 * i)..]);
        _rest = _rest[(2 * count)..];
        return column;
    }

    public long[] Int64()
    {
        var column = new long[count];
        for (var i = 0; i < count; i++) column[i] = BinaryPrimitives.ReadInt64LittleEndian(_rest[(8 * i)..]);
        _rest = _rest[(8 * count)..];
        return column;
    }

    public SampleFlags[] Flags()
    {
        var column = new SampleFlags[count];
        for (var i = 0; i < count; i++) column[i] = (SampleFlags)_rest[i];
        _rest = _rest[count..];
        return column;
    }
}
