using System.Buffers.Binary;

namespace SweepRig.Rigs.Tests.Bus.Simulated;

/// <summary>An ADS1115 by its registers: data sheet SBAS444D, 9.6 (register map), 9.3.1 (multiplexer), 9.4.2 (modes).</summary>
/// <param name="clock">Its time.</param>
/// <param name="input">Voltage at an input, 0 to 3, against ground.</param>
internal sealed class Ads1115Chip(BenchClock clock, Func<int, double> input) : II2cChip
{
    // 9.6.3: the Config register resets to 8583h; 9.6.4: the thresholds to 8000h and 7FFFh; 9.6.2: the conversion register to 0.
    private ushort _config = 0x8583;
    private ushort _low = 0x8000;
    private ushort _high = 0x7fff;
    private ushort _conversion;
    private byte _pointer;
    private double? _readyAt;
    private long? _startedAt;

    /// <summary>A code that every conversion gives; null for an honest chip.</summary>
    public short? StuckAt { get; set; }

    /// <summary>Never finishes a conversion.</summary>
    public bool Hung { get; set; }

    /// <summary>When a conversion that never ends was first asked about; null before.</summary>
    public long? HungSince { get; private set; }

    /// <summary>Factor on the conversion time: the data rate may be off by 10 % (7.5).</summary>
    public double Slowness { get; set; } = 1;

    public int Conversions { get; private set; }

    /// <summary>Longest time from the start of a conversion until its result was read.</summary>
    public long LongestMicroseconds { get; private set; }

    private bool SingleShot => (_config & 0x0100) != 0;

    public void Write(ReadOnlySpan<byte> bytes)
    {
        _pointer = (byte)(bytes[0] & 3);
        if (bytes.Length < 3) return;
        var value = BinaryPrimitives.ReadUInt16BigEndian(bytes[1..]);
        switch (_pointer)
        {
            case 1:
                Configure(value);
                break;
            case 2:
                _low = value;
                break;
            case 3:
                _high = value;
                break;
            default:
                break;
        }
    }

    public void Read(Span<byte> bytes)
    {
        FinishIfReady();
        var value = _pointer switch
        {
            0 => _conversion,
            // OS reads 0 while a conversion goes on (Table 8).
            1 => (ushort)(_readyAt is null ? _config | 0x8000 : _config & 0x7fff),
            2 => _low,
            _ => _high,
        };
        BinaryPrimitives.WriteUInt16BigEndian(bytes, value);
        if (_pointer != 0 || _startedAt is not { } started) return;
        LongestMicroseconds = Math.Max(LongestMicroseconds, clock.Microseconds - started);
        _startedAt = null;
    }

    private void Configure(ushort value)
    {
        FinishIfReady();
        _config = value;
        // OS starts a conversion in the power-down state only and has no effect while one goes on (Table 8).
        if (_readyAt is not null) return;
        _startedAt = clock.Microseconds;
        if (!SingleShot || (value & 0x8000) != 0) _readyAt = clock.Microseconds + 25 + Slowness * 1e6 / RateOf(value);
    }

    private void FinishIfReady()
    {
        if (Hung && _readyAt is not null) HungSince ??= clock.Microseconds;
        if (Hung || _readyAt is not { } ready || clock.Microseconds < ready) return;
        Conversions++;
        _conversion = (ushort)(StuckAt ?? Convert());
        _readyAt = SingleShot ? null : clock.Microseconds + Slowness * 1e6 / RateOf(_config);
    }

    private short Convert()
    {
        // MUX 4 to 7: AIN0 to AIN3 against ground; 0 to 3: differences (Table 8). One step is the range over 2^15 (Table 3); beyond it the code stays at the end (9.5.4).
        var mux = (_config >> 12) & 7;
        var volts = mux switch
        {
            0 => input(0) - input(1),
            1 => input(0) - input(3),
            2 => input(1) - input(3),
            3 => input(2) - input(3),
            _ => input(mux - 4),
        };
        return (short)Math.Clamp(Math.Round(volts / RangeOf(_config) * 32768), -32768, 32767);
    }

    private static double RangeOf(ushort config) => ((config >> 9) & 7) switch { 0 => 6.144, 1 => 4.096, 2 => 2.048, 3 => 1.024, 4 => 0.512, _ => 0.256 };

    private static double RateOf(ushort config) => ((config >> 5) & 7) switch { 0 => 8, 1 => 16, 2 => 32, 3 => 64, 4 => 128, 5 => 250, 6 => 475, _ => 860 };
}
