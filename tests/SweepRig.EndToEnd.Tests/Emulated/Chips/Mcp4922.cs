namespace SweepRig.EndToEnd.Tests.Emulated.Chips;

/// <summary>What one of the two converters of an MCP4922 puts out.</summary>
/// <param name="Code">Value of the DAC register.</param>
/// <param name="IsDoubled">Gain 2 instead of 1 (bit 13, /GA, is 0).</param>
/// <param name="IsActive">Output driven (bit 12, /SHDN, is 1); otherwise high impedance.</param>
internal readonly record struct DacOutput(int Code, bool IsDoubled, bool IsActive)
{
    /// <summary>Vout = Vref · G · D / 4096 (data sheet DS21897A, section 4.0, equation 4-1), held at the supply; 0 where a resistor pulls an undriven output down.</summary>
    public double Volts(double reference, double supply) => IsActive ? Math.Min(supply, reference * (IsDoubled ? 2 : 1) * Code / 4096) : 0;
}

/// <summary>
/// Two 12-bit DACs with SPI (MCP4921/4922 data sheet, Microchip DS21897A): pins in, registers out. Section 5.2: a word of 16 bits is clocked in on rising
/// edges while /CS is low; clocks past the 16th are ignored; /CS rising takes the word into the input register, or drops it when fewer bits came. A low
/// /LDAC takes the input registers over into the DAC registers. Register 5-1: bit 15 selects B, 14 buffers Vref, 13 is /GA, 12 is /SHDN, 11 to 0 the data.
/// </summary>
/// <param name="updated">Told when a DAC register may have changed.</param>
internal sealed class Mcp4922(Action updated)
{
    private const int WordBits = 16;

    private DacOutput _inputA, _inputB;
    private int _word, _bits;
    private bool _selected, _latched;

    /// <summary>Section 4.0, power-on reset: both outputs are high impedance until a word sets them.</summary>
    public DacOutput A { get; private set; }

    public DacOutput B { get; private set; }

    /// <summary>Words dropped because /CS rose before the 16th clock.</summary>
    public int Dropped { get; private set; }

    /// <summary>/CS: true for low.</summary>
    public void Select(bool selected)
    {
        if (selected == _selected) return;
        _selected = selected;
        if (selected) (_word, _bits) = (0, 0);
        else if (_bits >= WordBits) Take();
        else if (_bits > 0) Dropped++;
    }

    /// <summary>A rising edge of SCK.</summary>
    public void Clock(bool data)
    {
        if (!_selected || _bits >= WordBits) return;
        _word = _word << 1 | (data ? 1 : 0);
        _bits++;
    }

    /// <summary>/LDAC: true for low.</summary>
    public void Latch(bool low)
    {
        _latched = low;
        if (low) TakeOver();
    }

    /// <summary>The supply failed and came back.</summary>
    public void PowerOn()
    {
        (_inputA, _inputB, A, B) = (default, default, default, default);
        updated();
    }

    private void Take()
    {
        var input = new DacOutput(_word & 0xFFF, (_word & 0x2000) == 0, (_word & 0x1000) != 0);
        if ((_word & 0x8000) != 0) _inputB = input;
        else _inputA = input;
        if (_latched) TakeOver();
    }

    private void TakeOver()
    {
        (A, B) = (_inputA, _inputB);
        updated();
    }
}
