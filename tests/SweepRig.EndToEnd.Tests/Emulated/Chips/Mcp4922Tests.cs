namespace SweepRig.EndToEnd.Tests.Emulated.Chips;

/// <summary>Against the MCP4921/4922 data sheet, Microchip DS21897A (and its successor DS22250A, register 5-1).</summary>
public sealed class Mcp4922Tests
{
    private readonly Mcp4922 _chip = new(static () => { });

    [Fact]
    public void Power_on_leaves_both_outputs_undriven()
    {
        // Section 4.0, power-on reset.
        Assert.False(_chip.A.IsActive);
        Assert.False(_chip.B.IsActive);
        Assert.Equal(0, _chip.A.Volts(4.096, 5));
    }

    [Theory]
    // Register 5-1: A/B, BUF, /GA, /SHDN, then twelve bits of data; Vout = Vref G D / 4096 (section 4.0).
    [InlineData(0x3000, 0, false, true, 0)]
    [InlineData(0x3FFF, 4095, false, true, 4.095)]
    [InlineData(0x3800, 2048, false, true, 2.048)]
    [InlineData(0x7800, 2048, false, true, 2.048)]
    [InlineData(0x1400, 1024, true, true, 2.048)]
    [InlineData(0x1FFF, 4095, true, true, 5)]
    [InlineData(0x2FFF, 4095, false, false, 0)]
    public void A_word_sets_code_gain_and_shutdown(int word, int code, bool doubled, bool active, double volts)
    {
        Write(word);
        Pulse();

        Assert.Equal(new DacOutput(code, doubled, active), _chip.A);
        Assert.Equal(volts, _chip.A.Volts(4.096, 5), 9);
        Assert.Equal(default, _chip.B);
    }

    [Fact]
    public void Bit_15_selects_the_other_converter()
    {
        Write(0xB123);
        Pulse();

        Assert.Equal(new DacOutput(0x123, false, true), _chip.B);
        Assert.Equal(default, _chip.A);
    }

    [Fact]
    public void The_output_waits_for_LDAC()
    {
        Write(0x3123);
        Assert.Equal(default, _chip.A);
        Write(0xB456);
        Pulse();
        Assert.Equal(0x123, _chip.A.Code);
        Assert.Equal(0x456, _chip.B.Code);
    }

    [Fact]
    public void With_LDAC_held_low_a_word_takes_effect_as_CS_rises()
    {
        _chip.Latch(low: true);
        Write(0x3123);
        Assert.Equal(0x123, _chip.A.Code);
    }

    [Fact]
    public void A_word_that_CS_cuts_short_is_dropped_and_clocks_past_the_sixteenth_are_ignored()
    {
        // Section 5.2.
        Write(0x3123, bits: 15);
        Pulse();
        Assert.Equal(default, _chip.A);
        Assert.Equal(1, _chip.Dropped);

        _chip.Select(true);
        Shift(0x3123, 16);
        Shift(0xFF, 8);
        _chip.Select(false);
        Pulse();
        Assert.Equal(0x123, _chip.A.Code);
    }

    [Fact]
    public void Clocks_without_CS_move_nothing()
    {
        Shift(0x3123, 16);
        Pulse();
        Assert.Equal(default, _chip.A);
    }

    private void Write(int word, int bits = 16)
    {
        _chip.Select(true);
        Shift(word, bits);
        _chip.Select(false);
    }

    private void Shift(int word, int bits)
    {
        for (var bit = bits - 1; bit >= 0; bit--) _chip.Clock((word >> bit & 1) != 0);
    }

    private void Pulse()
    {
        _chip.Latch(low: true);
        _chip.Latch(low: false);
    }
}
