namespace SweepRig.EndToEnd.Tests.Emulated.Chips;

/// <summary>Against the MCP3204/3208 data sheet, Microchip DS21298E.</summary>
public sealed class Mcp3208Tests
{
    private const double Reference = 4.096;

    private readonly double[] _pins = new double[8];
    private readonly List<(int Channel, long Cycle)> _sampled = [];
    private readonly Mcp3208 _chip;
    private long _cycle;

    public Mcp3208Tests() => _chip = new((channel, cycle) =>
    {
        _sampled.Add((channel, cycle));
        return _pins[channel];
    }, Reference);

    [Theory]
    // Equation 4-2: code = 4096 Vin / Vref; held at both ends.
    [InlineData(0, 0)]
    [InlineData(1, 1)]
    [InlineData(2048, 2048)]
    [InlineData(4095, 4095)]
    [InlineData(4097, 4095)]
    [InlineData(-3, 0)]
    public void The_code_is_4096_times_the_ratio_to_the_reference(int steps, int code)
    {
        _pins[0] = steps * Reference / 4096;
        Assert.Equal(code, ReadInThreeBytes(0));
    }

    [Fact]
    public void Three_bytes_hold_the_code_where_figure_6_1_puts_it_for_every_input()
    {
        for (var channel = 0; channel < 8; channel++) _pins[channel] = (0x5A0 + channel) * Reference / 4096;
        for (var channel = 0; channel < 8; channel++)
        {
            Assert.Equal(0x5A0 + channel, ReadInThreeBytes(channel));
            Assert.Equal(channel, _sampled[^1].Channel);
        }
    }

    [Fact]
    public void The_null_bit_is_low_and_the_output_floats_before_it()
    {
        _pins[0] = Reference;
        _chip.Select(true);
        // Figure 5-1: start, SGL, D2, D1, D0; DOUT is high impedance until the falling edge of the fifth clock after the start bit.
        foreach (var data in new[] { true, true, false, false, false })
        {
            Clock(data);
            Assert.Null(_chip.Output);
        }
        Clock(false);
        Assert.Equal(false, _chip.Output);
        Clock(false);
        Assert.Equal(true, _chip.Output);
    }

    [Fact]
    public void The_sample_is_taken_on_the_falling_edge_of_the_fifth_clock_after_the_start_bit()
    {
        _chip.Select(true);
        for (var clock = 1; clock <= 18; clock++) Clock(clock <= 2);
        Assert.Equal([(0, 6)], _sampled);
    }

    [Fact]
    public void Leading_zeros_are_no_start_bit()
    {
        _pins[3] = 1000 * Reference / 4096;
        _chip.Select(true);
        for (var i = 0; i < 13; i++) Clock(false);
        Assert.Empty(_sampled);
        Assert.Equal(1000, Bits([true, true, false, true, true, false], 12));
    }

    [Fact]
    public void Further_clocks_give_the_bits_backwards_and_then_zeros()
    {
        // Figure 5-2: after B0 come B1 to B11.
        _pins[0] = 0x801 * Reference / 4096;
        _chip.Select(true);
        Assert.Equal(0x801, Bits([true, true, false, false, false, false], 12));
        Assert.Equal(0b00000000001, Bits([], 11));
        Assert.Equal(0, Bits([], 16));
    }

    [Fact]
    public void Differential_is_the_difference_of_a_pair_and_never_negative()
    {
        // Table 5-2: D2 D1 D0 = 001 is CH1 = IN+, CH0 = IN-.
        (_pins[0], _pins[1]) = (1, 3);
        _chip.Select(true);
        Assert.Equal(2000, Bits([true, false, false, false, true, false], 12));
        _chip.Select(false);
        _chip.Select(true);
        Assert.Equal(0, Bits([true, false, false, false, false, false], 12));
    }

    [Fact]
    public void CS_high_ends_the_conversion_and_the_next_begins_anew()
    {
        _pins[0] = Reference;
        _chip.Select(true);
        _ = Bits([true, true, false, false, false, false], 5);
        _chip.Select(false);
        Assert.Null(_chip.Output);
        Clock(true);
        Assert.Null(_chip.Output);
        Assert.Equal(4095, ReadInThreeBytes(0));
    }

    private int ReadInThreeBytes(int channel)
    {
        // Section 6.1: five zeros, start, SGL, D2 | D1, D0, six of no meaning | eight of no meaning; null bit and B11 to B8 end the second byte.
        _chip.Select(true);
        var received = 0;
        foreach (var sent in new[] { 6 | channel >> 2, channel << 6 & 0xFF, 0 })
            for (var bit = 7; bit >= 0; bit--)
            {
                received = received << 1 | (_chip.Output ?? true ? 1 : 0);
                Clock((sent >> bit & 1) != 0);
            }
        _chip.Select(false);
        Assert.Equal(0, received >> 12 & 1);
        return received & 0xFFF;
    }

    // Clocks data in, then reads so many bits at rising edges.
    private int Bits(bool[] sent, int count)
    {
        foreach (var data in sent) Clock(data);
        var value = 0;
        for (var i = 0; i < count; i++)
        {
            Clock(false);
            value = value << 1 | (_chip.Output == true ? 1 : 0);
        }
        return value;
    }

    private void Clock(bool data)
    {
        _chip.Rise(data);
        _chip.Fall(++_cycle);
    }
}
