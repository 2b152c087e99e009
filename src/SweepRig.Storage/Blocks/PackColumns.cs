namespace SweepRig.Storage.Blocks;

/// <summary>
/// Writes columns so that they compress well. A code is written as the step from the one before, made unsigned (zigzag), its low bytes of the whole column
/// before its high ones; a time as the change of its step, in as many bytes as it needs.
/// </summary>
internal sealed class PackWriter
{
    private readonly List<byte> _bytes = [];

    public byte[] Written => [.. _bytes];

    /// <summary>Seven bits a byte, the lowest first; the highest bit says that more follow.</summary>
    public void Number(ulong value)
    {
        for (; value > 0x7F; value >>= 7) _bytes.Add((byte)(value | 0x80));
        _bytes.Add((byte)value);
    }

    public void Steps(ushort[] column)
    {
        var steps = new ushort[column.Length];
        for (var i = 0; i < column.Length; i++)
        {
            var step = (short)(column[i] - (i == 0 ? 0 : column[i - 1]));
            steps[i] = (ushort)((step << 1) ^ (step >> 15));
        }
        Values(steps);
    }

    public void Values(ushort[] column)
    {
        foreach (var value in column) _bytes.Add((byte)value);
        foreach (var value in column) _bytes.Add((byte)(value >> 8));
    }

    public void Times(long[] column)
    {
        long before = 0, step = 0;
        foreach (var time in column)
        {
            // Wraps around where it must; the reader wraps back.
            var next = unchecked(time - before);
            var change = unchecked(next - step);
            Number((ulong)((change << 1) ^ (change >> 63)));
            (before, step) = (time, next);
        }
    }

    public void Bytes<T>(T[] column, Func<T, byte> of)
    {
        foreach (var value in column) _bytes.Add(of(value));
    }
}

/// <summary>Reads what <see cref="PackWriter"/> wrote.</summary>
/// <remarks>Every method throws <see cref="InvalidDataException"/> where the content ends too soon.</remarks>
internal ref struct PackReader(ReadOnlySpan<byte> content)
{
    private ReadOnlySpan<byte> _rest = content;

    public int Count()
    {
        var value = Number();
        return value <= int.MaxValue ? (int)value : throw Damaged();
    }

    public ushort[] Steps(int count)
    {
        var column = Values(count);
        ushort before = 0;
        for (var i = 0; i < count; i++)
        {
            var step = (column[i] >> 1) ^ -(column[i] & 1);
            before = column[i] = unchecked((ushort)(before + step));
        }
        return column;
    }

    public ushort[] Values(int count)
    {
        var low = Bytes(count);
        var high = Bytes(count);
        var column = new ushort[count];
        for (var i = 0; i < count; i++) column[i] = (ushort)(low[i] | (high[i] << 8));
        return column;
    }

    public long[] Times(int count)
    {
        if (count > _rest.Length) throw Damaged();
        var column = new long[count];
        long before = 0, step = 0;
        for (var i = 0; i < count; i++)
        {
            var change = Number();
            step = unchecked(step + ((long)(change >> 1) ^ -(long)(change & 1)));
            before = column[i] = unchecked(before + step);
        }
        return column;
    }

    public byte[] Bytes(int count)
    {
        if (count > _rest.Length) throw Damaged();
        var bytes = _rest[..count].ToArray();
        _rest = _rest[count..];
        return bytes;
    }

    private ulong Number()
    {
        ulong value = 0;
        for (var shift = 0; shift < 64; shift += 7)
        {
            if (_rest.IsEmpty) throw Damaged();
            var next = _rest[0];
            _rest = _rest[1..];
            value |= (ulong)(next & 0x7F) << shift;
            if (next < 0x80) return value;
        }
        throw Damaged();
    }

    private static InvalidDataException Damaged() => new("A pack does not hold what it says.");
}
