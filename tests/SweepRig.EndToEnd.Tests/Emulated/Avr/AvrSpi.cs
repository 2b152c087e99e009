namespace SweepRig.EndToEnd.Tests.Emulated.Avr;

/// <summary>What hangs on the SPI lines.</summary>
internal interface ISpiBus
{
    /// <summary>Eight clocks in mode 0, most significant bit first.</summary>
    /// <param name="sent">On MOSI.</param>
    /// <param name="startCycle">When the first bit was put on the line.</param>
    /// <param name="cyclesPerBit">Cycles of the processor for one clock of the bus.</param>
    /// <returns>What was on MISO at the rising edges.</returns>
    byte Exchange(byte sent, long startCycle, int cyclesPerBit);
}

/// <summary>The SPI as master (data sheet DS40002061, section 19.5): a byte takes eight clocks of the rate set, then SPIF is set.</summary>
internal sealed class AvrSpi : IRegister, ICycleTimer
{
    // SPCR and SPSR, sections 19.5.1 and 19.5.2.
    private const byte SPE = 0x40;
    private const byte DORD = 0x20;
    private const byte MSTR = 0x10;
    private const byte ModeBits = 0x0C;
    private const byte SPIF = 0x80;
    private const byte WCOL = 0x40;
    private const byte SPI2X = 0x01;

    // Table 19-5: SCK = clock / 4, 16, 64, 128 by SPR1 and SPR0, twice as fast with SPI2X.
    private static readonly int[] s_dividers = [4, 16, 64, 128];

    private readonly AvrMachine _machine;
    private readonly ISpiBus _bus;
    private readonly nint _interrupt;
    private byte _sent, _received;
    private long _startCycle;
    private int _cyclesPerBit;
    private bool _busy;

    public AvrSpi(AvrMachine machine, ISpiBus bus)
    {
        (_machine, _bus) = (machine, bus);
        _interrupt = machine.OnWrite(Registers.SPDR, this).Parameter + AvrLayout.SpiInterrupt;
        machine.OnRead(Registers.SPDR, this);
        machine.OnReset(() => _busy = false);
    }

    /// <summary>Bytes exchanged so far.</summary>
    public long Bytes { get; private set; }

    byte IRegister.Read(ushort address)
    {
        _machine[Registers.SPSR] &= unchecked((byte)~(SPIF | WCOL));
        return _received;
    }

    void IRegister.Write(ushort address, byte value)
    {
        var control = _machine[Registers.SPCR];
        if ((control & SPE) == 0) return;
        if ((control & (MSTR | DORD | ModeBits)) != MSTR)
            throw new NotSupportedException($"The SPI is set to 0x{control:X2}; the board's chips need a master in mode 0, most significant bit first.");
        if (_busy)
        {
            _machine[Registers.SPSR] |= WCOL;
            return;
        }
        _machine[Registers.SPSR] &= unchecked((byte)~(SPIF | WCOL));
        _cyclesPerBit = s_dividers[control & 3] >> (_machine[Registers.SPSR] & SPI2X);
        (_sent, _startCycle, _busy) = (value, _machine.Cycle, true);
        _machine.After(8 * _cyclesPerBit, this);
    }

    long ICycleTimer.Due(long cycle)
    {
        _busy = false;
        Bytes++;
        _received = _bus.Exchange(_sent, _startCycle, _cyclesPerBit);
        _machine.Raise(_interrupt);
        return 0;
    }
}
