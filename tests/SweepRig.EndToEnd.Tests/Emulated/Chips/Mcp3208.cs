namespace SweepRig.EndToEnd.Tests.Emulated.Chips;

/// <summary>Voltage at an input of the converter at a moment.</summary>
internal delegate double AnalogueInput(int channel, long cycle);

/// <summary>
/// A 12-bit ADC with eight inputs and SPI (MCP3204/3208 data sheet, Microchip DS21298E), edge by edge. Section 5.0: the first clock with /CS low and
/// DIN high is the start bit; SGL//DIFF, D2, D1, D0 follow on rising edges. Sampling ends on the falling edge of the fifth clock after the start bit,
/// where the null bit comes out; B11 to B0 follow on the next twelve falling edges, then B1 to B11, then zeros (figures 5-1 and 5-2).
/// </summary>
/// <param name="input">Pins CH0 to CH7 against ground.</param>
/// <param name="referenceVolts">Vref.</param>
internal sealed class Mcp3208(AnalogueInput input, double referenceVolts)
{
    // Clocks counted from the start bit, which is 1.
    private const int LastAddressBit = 5;
    private const int SampleEnds = 6;
    private const int LastBit = 18;
    private const int LastReversedBit = 29;
    private const int MaxCode = 4095;

    private bool _selected;
    private int _clock, _address, _code;

    /// <summary>DOUT; null for high impedance.</summary>
    public bool? Output { get; private set; }

    /// <summary>Conversions begun so far.</summary>
    public long Conversions { get; private set; }

    /// <summary>/CS: true for low. High ends a conversion, and DOUT is high impedance until the next null bit.</summary>
    public void Select(bool selected)
    {
        if (selected == _selected) return;
        (_selected, _clock, _address, Output) = (selected, 0, 0, null);
    }

    public void Rise(bool data)
    {
        if (!_selected || (_clock == 0 && !data)) return;
        _clock++;
        if (_clock is > 1 and <= LastAddressBit) _address = _address << 1 | (data ? 1 : 0);
    }

    public void Fall(long cycle)
    {
        if (!_selected || _clock < SampleEnds) return;
        if (_clock == SampleEnds) Sample(cycle);
        Output = _clock switch
        {
            SampleEnds => false,
            <= LastBit => Bit(LastBit - _clock),
            <= LastReversedBit => Bit(_clock - LastBit),
            _ => false,
        };
    }

    /// <summary>Equation 4-2: code = 4096 Vin / Vref. Transitions half a step below, as the ideal one of section 3 (definitions of offset and gain error).</summary>
    public static int CodeOf(double volts, double referenceVolts) => Math.Clamp((int)Math.Floor(4096 * volts / referenceVolts + 0.5), 0, MaxCode);

    private bool Bit(int place) => (_code >> place & 1) != 0;

    // Table 5-2: single-ended the number of the input; differential D2 D1 name the pair and D0 which of it is IN-.
    private void Sample(long cycle)
    {
        Conversions++;
        var channel = _address & 7;
        var volts = input(channel, cycle);
        if ((_address & 8) == 0) volts -= input(channel ^ 1, cycle);
        _code = CodeOf(volts, referenceVolts);
    }
}
