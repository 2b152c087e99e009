using System.Device.Spi;

namespace SweepRig.Rigs.Tests.Bus.Simulated;

/// <summary>
/// An AD5328 by its registers: data sheet AD5308/AD5318/AD5328 Rev. F, p. 16 to 18 (serial interface, control words, LDAC modes of Table 8, power-on reset).
/// Page numbers from memory, but for Table 8 on p. 17.
/// </summary>
/// <param name="clock">Its time: 16 bits at 1 MHz and 20 µs that the system adds.</param>
/// <param name="changed">Called with output and code whenever an output changes.</param>
internal sealed class Ad5328Chip(BenchClock clock, Action<int, int> changed) : SpiDevice
{
    private readonly int[] _inputs = new int[8];
    private readonly int[] _outputs = new int[8];

    // Power-on: outputs at 0 V, LDAC bits high, no channel powered down.
    private int _ldac = 1;
    private int _poweredDown;

    public bool Fails { get; set; }

    /// <summary>SPI mode that the host uses; the chip takes data on the falling edge, which is mode 1 or 2.</summary>
    public SpiMode Mode { get; set; } = SpiMode.Mode1;

    /// <summary>When an output last changed.</summary>
    public long ChangedAt { get; private set; }

    public int ReferenceControl { get; private set; }

    public override SpiConnectionSettings ConnectionSettings => new(0, 0) { Mode = Mode };

    /// <summary>Code at an output; 0 while it is powered down.</summary>
    public int Output(int channel) => (_poweredDown & (1 << channel)) != 0 ? 0 : _outputs[channel];

    public override void Write(ReadOnlySpan<byte> buffer)
    {
        clock.Spend(8 * buffer.Length + 20);
        if (Fails) throw new IOException("Error 5 performing SPI data transfer.");
        if (buffer.Length != 2) return;
        var word = (buffer[0] << 8) | buffer[1];
        // Taken on the wrong edge each bit is the one before it.
        if (Mode is SpiMode.Mode0 or SpiMode.Mode3) word >>= 1;
        if ((word & 0x8000) == 0) Set((word >> 12) & 7, word & 0xfff);
        else Control(word);
    }

    public override void Read(Span<byte> buffer) => buffer.Clear();

    public override void TransferFullDuplex(ReadOnlySpan<byte> writeBuffer, Span<byte> readBuffer)
    {
        Write(writeBuffer);
        readBuffer.Clear();
    }

    private void Set(int channel, int code)
    {
        _inputs[channel] = code;
        if (_ldac == 0) Update();
    }

    private void Control(int word)
    {
        switch ((word >> 13) & 3)
        {
            case 0:
                ReferenceControl = word & 0x3f;
                break;
            case 1:
                // 00: outputs follow at once; 01: they wait; 10: they follow this once.
                if ((word & 3) != 2) _ldac = word & 3;
                if ((word & 3) != 1) Update();
                break;
            case 2:
                _poweredDown = word & 0xff;
                break;
            default:
                Array.Clear(_inputs);
                if ((word & 0x1000) != 0) (_ldac, _poweredDown, ReferenceControl) = (1, 0, 0);
                Update();
                break;
        }
    }

    private void Update()
    {
        for (var channel = 0; channel < _outputs.Length; channel++)
        {
            if (_outputs[channel] == _inputs[channel]) continue;
            _outputs[channel] = _inputs[channel];
            ChangedAt = clock.Microseconds;
            changed(channel, _outputs[channel]);
        }
    }
}
