using System.Buffers.Binary;

namespace SweepRig.Rigs.Tests.Bus.Simulated;

/// <summary>An INA219 by its registers: data sheet SBOS448G, 8.6 (registers), 8.5.1 and 8.5.2 (calibration and arithmetic).</summary>
/// <param name="shuntVolts">Voltage over the shunt.</param>
/// <param name="busVolts">Voltage at its negative input.</param>
internal sealed class Ina219Chip(Func<double> shuntVolts, Func<double> busVolts) : II2cChip
{
    // 8.6.2.1: the configuration resets to 399Fh; 8.6.4.1: the calibration to 0, which keeps current and power at 0.
    private ushort _configuration = 0x399f;
    private ushort _calibration;
    private byte _pointer;

    public ushort Calibration => _calibration;

    public ushort Configuration => _configuration;

    public void Write(ReadOnlySpan<byte> bytes)
    {
        _pointer = bytes[0];
        if (bytes.Length < 3) return;
        var value = BinaryPrimitives.ReadUInt16BigEndian(bytes[1..]);
        if (_pointer == 0)
        {
            // RST resets all registers and clears itself.
            var reset = (value & 0x8000) != 0;
            _configuration = reset ? (ushort)0x399f : value;
            if (reset) _calibration = 0;
        }
        else if (_pointer == 5)
        {
            // FS0 is a void bit and always 0.
            _calibration = (ushort)(value & 0xfffe);
        }
    }

    public void Read(Span<byte> bytes)
    {
        var shunt = Shunt();
        var bus = Bus();
        var current = (long)shunt * _calibration / 4096;
        var power = Math.Abs(current) * bus / 5000;
        var overflow = current is > short.MaxValue or < short.MinValue || power > ushort.MaxValue;
        var value = _pointer switch
        {
            0 => _configuration,
            1 => (ushort)shunt,
            // 13 bits of voltage from bit 3 on, CNVR in bit 1, OVF in bit 0 (8.6.3.2).
            2 => (ushort)((bus << 3) | 0b10 | (overflow ? 1 : 0)),
            3 => (ushort)power,
            4 => (ushort)(short)current,
            5 => _calibration,
            _ => (ushort)0,
        };
        BinaryPrimitives.WriteUInt16BigEndian(bytes, value);
    }

    // Step 10 µV; the PGA bits 12 and 11 set the range: 40, 80, 160, 320 mV (8.6.2.1).
    private int Shunt()
    {
        var full = 4000 << ((_configuration >> 11) & 3);
        return (int)Math.Clamp(Math.Round(shuntVolts() / 10e-6), -full, full);
    }

    // Step 4 mV; 8000 steps in the 32 V range, 4000 in that of 16 V.
    private int Bus() => (int)Math.Clamp(Math.Round(busVolts() / 4e-3), 0, (_configuration & 0x2000) != 0 ? 8000 : 4000);
}
