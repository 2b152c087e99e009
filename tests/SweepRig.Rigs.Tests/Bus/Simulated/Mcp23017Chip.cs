namespace SweepRig.Rigs.Tests.Bus.Simulated;

/// <summary>
/// An MCP23017 by its registers with IOCON.BANK = 0, as it powers up: data sheet DS20001952, Table 3-3 (addresses) and Table 3-1 (reset values), 3.2.1
/// (the address pointer goes on by itself).
/// </summary>
/// <param name="changed">Called with the levels of all pins after each write; an input is held low by its resistor.</param>
internal sealed class Mcp23017Chip(Action<int> changed) : II2cChip
{
    private const int Registers = 0x16;
    private const int Iodir = 0x00;
    private const int Gppu = 0x0c;
    private const int Gpio = 0x12;
    private const int Olat = 0x14;

    private readonly byte[] _registers = PowerUp();
    private int _pointer;

    /// <summary>Levels that switches outside put on the pins.</summary>
    public int Driven { get; set; }

    /// <summary>Pins whose latch cannot be set.</summary>
    public int Dead { get; set; }

    public int Directions => Word(Iodir);

    public int Outputs => Word(Olat);

    public int PullUps => Word(Gppu);

    /// <summary>What relays and switches see: outputs by their latch, inputs by their resistor to ground.</summary>
    public int Levels => Outputs & ~Directions;

    /// <summary>Its supply went away for a moment.</summary>
    public void PowerCycle()
    {
        PowerUp().CopyTo(_registers, 0);
        changed(Levels);
    }

    public void Write(ReadOnlySpan<byte> bytes)
    {
        _pointer = bytes[0] % Registers;
        foreach (var value in bytes[1..])
        {
            // A write to GPIO is one to the latch (3.5.10).
            var at = _pointer is Gpio or Gpio + 1 ? _pointer + Olat - Gpio : _pointer;
            var dead = at is Olat or Olat + 1 ? (byte)(Dead >> (8 * (at - Olat))) : (byte)0;
            _registers[at] = (byte)((value & ~dead) | (_registers[at] & dead));
            _pointer = (_pointer + 1) % Registers;
        }
        if (bytes.Length > 1) changed(Levels);
    }

    public void Read(Span<byte> bytes)
    {
        foreach (ref var value in bytes)
        {
            value = _pointer is Gpio or Gpio + 1 ? (byte)((Levels | (Driven & Directions)) >> (8 * (_pointer - Gpio))) : _registers[_pointer];
            _pointer = (_pointer + 1) % Registers;
        }
    }

    private int Word(int register) => _registers[register] | (_registers[register + 1] << 8);

    private static byte[] PowerUp()
    {
        var registers = new byte[Registers];
        registers[Iodir] = registers[Iodir + 1] = 0xff;
        return registers;
    }
}
