namespace SweepRig.Wire.Line;

/// <summary>
/// The faults of one direction, without clock or stream: bytes in, bytes out with the wait before each. The same seed and the same bytes give the
/// same, in whatever portions they come. For one task.
/// </summary>
/// <remarks>A frame is decided on once its 0x00 has come, or when it is longer than any frame may be.</remarks>
public sealed class LineDamage(LineRates rates, int seed)
{
    private const int LongestPiece = 256;
    private const int FurthestFrame = 4;
    private const int FurthestByte = 8;
    private const int LongestBurst = 16;

    private readonly Random _random = new(seed);
    private readonly List<byte> _piece = [];
    private readonly List<(int After, byte[] Bytes)> _held = [];
    private bool _touched;
    private long _pieces, _damaged;

    /// <summary>Frames that came in.</summary>
    public long Frames => Interlocked.Read(ref _pieces);

    /// <summary>Frames that were lost, changed, doubled, moved or made to wait.</summary>
    public long Damaged => Interlocked.Read(ref _damaged);

    /// <summary>Rates from now on.</summary>
    public LineRates Rates { get; set; } = rates;

    /// <summary>Another cable: what the last one still held is gone.</summary>
    public void Begin()
    {
        _piece.Clear();
        _held.Clear();
    }

    /// <param name="input">Bytes as they come.</param>
    /// <returns>What goes out, each portion after waiting so long behind the one before it.</returns>
    public IReadOnlyList<(byte[] Bytes, TimeSpan Wait)> Pass(ReadOnlySpan<byte> input)
    {
        List<(byte[], TimeSpan)> output = [];
        foreach (var next in input)
        {
            _piece.Add(next);
            if (next != 0 && _piece.Count < LongestPiece) continue;
            PassPiece(output);
            _piece.Clear();
        }
        return output;
    }

    private void PassPiece(List<(byte[] Bytes, TimeSpan Wait)> output)
    {
        var rates = Rates;
        _touched = false;
        Interlocked.Increment(ref _pieces);
        if (!Chance(rates.DropFrame))
        {
            var bytes = Alter([.. _piece], rates);
            var wait = Wait(rates);
            if (Chance(rates.DuplicateFrame)) _held.Add((_random.Next(FurthestFrame + 1), bytes));
            if (Chance(rates.SwapFrames)) _held.Add((1 + _random.Next(FurthestFrame), bytes));
            else output.Add((bytes, wait));
        }
        for (var i = _held.Count - 1; i >= 0; i--)
        {
            var (after, bytes) = _held[i];
            _held[i] = (after - 1, bytes);
            if (after > 0) continue;
            _held.RemoveAt(i);
            output.Add((bytes, TimeSpan.Zero));
        }
        if (_touched) Interlocked.Increment(ref _damaged);
    }

    private byte[] Alter(byte[] bytes, LineRates rates)
    {
        List<byte> altered = new(bytes.Length + 4);
        for (var i = 0; i < bytes.Length; i++)
        {
            if (Chance(rates.Burst)) _random.NextBytes(bytes.AsSpan(i, Math.Min(2 + _random.Next(LongestBurst - 1), bytes.Length - i)));
            if (Chance(rates.SwapBytes))
            {
                var with = Math.Min(i + 1 + _random.Next(FurthestByte), bytes.Length - 1);
                (bytes[i], bytes[with]) = (bytes[with], bytes[i]);
            }
            if (Chance(rates.FlipBit)) bytes[i] ^= (byte)(1 << _random.Next(8));
            if (Chance(rates.DropByte)) continue;
            altered.Add(bytes[i]);
            if (Chance(rates.DuplicateByte)) altered.Add(bytes[i]);
        }
        return [.. altered];
    }

    private TimeSpan Wait(LineRates rates)
    {
        var wait = TimeSpan.Zero;
        if (Chance(rates.Delay)) wait += rates.LongestDelay * _random.NextDouble();
        if (Chance(rates.Stall)) wait += rates.LongestStall * _random.NextDouble();
        return wait;
    }

    private bool Chance(double rate)
    {
        if (rate <= 0 || _random.NextDouble() >= rate) return false;
        return _touched = true;
    }
}
