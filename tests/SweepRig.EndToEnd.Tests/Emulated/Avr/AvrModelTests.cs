using SweepRig.Domain.Rigs;

namespace SweepRig.EndToEnd.Tests.Emulated.Avr;

/// <summary>The models behind the registers, asked as a program would ask them, against the data sheet DS40002061.</summary>
public sealed class AvrModelTests : IDisposable
{
    // RJMP to itself: opcode 1100 kkkk kkkk kkkk with k = -1 (AVR instruction set manual DS40002198).
    private static readonly byte[] s_idle = [0xFF, 0xCF];

    private readonly AvrMachine _machine = new(s_idle, 16_000_000);

    public void Dispose() => _machine.Dispose();

    [Theory]
    // Table 19-5: SPR1:0 and SPI2X.
    [InlineData(0x50, 1, 2)]
    [InlineData(0x50, 0, 4)]
    [InlineData(0x51, 1, 8)]
    [InlineData(0x51, 0, 16)]
    [InlineData(0x53, 0, 128)]
    public void A_byte_on_the_SPI_takes_eight_clocks_of_the_rate_set(byte control, byte doubled, int cyclesPerBit)
    {
        var bus = new Bus();
        IRegister spi = new AvrSpi(_machine, bus);
        _machine[Registers.SPCR] = control;
        _machine[Registers.SPSR] = doubled;

        var start = _machine.Cycle;
        spi.Write(Registers.SPDR, 0x5A);
        _machine.RunTo(start + 8 * cyclesPerBit - 4);
        Assert.Equal(0, _machine[Registers.SPSR] & 0x80);
        _machine.RunTo(start + 8 * cyclesPerBit + 4);

        Assert.Equal(0x80, _machine[Registers.SPSR] & 0x80);
        Assert.Equal((0x5A, start, cyclesPerBit), bus.Seen);
        Assert.Equal(0xA5, spi.Read(Registers.SPDR));
        Assert.Equal(0, _machine[Registers.SPSR] & 0x80);
    }

    [Fact]
    public void A_write_during_a_transfer_is_a_collision()
    {
        var bus = new Bus();
        IRegister spi = new AvrSpi(_machine, bus);
        _machine[Registers.SPCR] = 0x50;
        spi.Write(Registers.SPDR, 1);
        spi.Write(Registers.SPDR, 2);
        Assert.Equal(0x40, _machine[Registers.SPSR] & 0x40);
        _machine.RunTo(_machine.Cycle + 100);
        Assert.Equal(1, bus.Seen.Sent);
    }

    [Theory]
    // Table 20-1: baud = clock / (8 (UBRR + 1)) with U2X0, / (16 (UBRR + 1)) without; ten bits a byte in 8N1.
    [InlineData(1, true, 160)]
    [InlineData(0, false, 160)]
    [InlineData(16, true, 1360)]
    public void Bytes_come_at_the_baud_rate_set(byte divider, bool doubled, int cyclesPerByte)
    {
        IRegister usart = Usart(divider, doubled, out var line);
        var start = _machine.Cycle;
        foreach (var value in new byte[] { 1, 2 }) line.Send(value);

        _machine.RunTo(start + cyclesPerByte - 4);
        Assert.Equal(0, _machine[Registers.UCSR0A] & 0x80);
        _machine.RunTo(start + cyclesPerByte + 4);
        Assert.Equal(0x80, _machine[Registers.UCSR0A] & 0x80);
        Assert.Equal(1, usart.Read(Registers.UDR0));
        Assert.Equal(0, _machine[Registers.UCSR0A] & 0x80);
        _machine.RunTo(start + 2 * cyclesPerByte + 4);
        Assert.Equal(2, usart.Read(Registers.UDR0));
    }

    [Fact]
    public void The_receiver_holds_three_bytes_and_loses_the_fourth()
    {
        // Section 20.7.4: two in the buffer and one in the shift register.
        IRegister usart = Usart(1, true, out var line);
        _ = usart.Read(Registers.UDR0);
        foreach (var value in new byte[] { 1, 2, 3, 4 }) line.Send(value);
        _machine.RunTo(_machine.Cycle + 5 * 160);

        Assert.Equal(0x08, _machine[Registers.UCSR0A] & 0x08);
        Assert.Equal(1, line.Overruns);
        Assert.Equal([1, 2, 3, 0], Enumerable.Range(0, 4).Select(_ => usart.Read(Registers.UDR0)));
    }

    [Fact]
    public void The_transmitter_shifts_one_byte_and_holds_one()
    {
        List<(byte Value, long Cycle)> sent = [];
        IRegister usart = Usart(1, true, out _, value => sent.Add((value, _machine.Cycle)));
        var start = _machine.Cycle;
        usart.Write(Registers.UDR0, 1);
        Assert.Equal(0x20, _machine[Registers.UCSR0A] & 0x20);
        usart.Write(Registers.UDR0, 2);
        Assert.Equal(0, _machine[Registers.UCSR0A] & 0x20);
        usart.Write(Registers.UDR0, 3);
        _machine.RunTo(start + 1000);

        Assert.Equal([1, 2], sent.Select(s => s.Value));
        Assert.InRange(sent[0].Cycle - start, 160, 164);
        Assert.InRange(sent[1].Cycle - start, 320, 324);
        Assert.Equal(0x60, _machine[Registers.UCSR0A] & 0x60);
    }

    [Fact]
    public void A_reset_makes_all_pins_inputs_and_the_boards_resistors_decide()
    {
        // Section 14.2.1.
        using var driven = new AvrMachine(DriveC, 16_000_000);
        List<(int Pin, bool High)> changes = [];
        var port = new AvrPort(driven, Registers.PINC, 0b100, (pin, high) => changes.Add((pin, high)));
        driven.RunTo(100);
        Assert.Equal([(2, false), (0, true)], changes);

        driven.Reset(ResetReason.External);

        Assert.Equal([(2, false), (0, true), (0, false), (2, true)], changes);
        Assert.True(port[2]);
    }

    [Fact]
    public void A_watchdog_that_is_not_fed_resets_the_machine_and_says_so()
    {
        // WDTCSR: change enable, then WDE with WDP 0, which is 16 ms (table 11-2); then an endless loop.
        byte[] code = [0x08, 0xE1, 0x00, 0x93, 0x60, 0x00, 0x08, 0xE0, 0x00, 0x93, 0x60, 0x00, 0xFF, 0xCF];
        using var machine = new AvrMachine(code, 16_000_000) { StartUpCycles = 1_000_000 };
        byte why = 0;
        long when = 0;
        machine.OnReset(() => (why, when) = (machine[Registers.MCUSR], machine.Cycle));
        machine[0x200] = 0x77;

        machine.RunTo(15_900 * 16);
        Assert.Equal(0, machine.WatchdogResets);
        machine.RunTo(16_100 * 16);

        Assert.Equal(1, machine.WatchdogResets);
        Assert.Equal(Registers.WDRF, why & Registers.WDRF);
        Assert.InRange(when, 15_900 * 16, 16_100 * 16);
        Assert.InRange(machine.Cycle - when, 1_000_000, 1_000_100);
        Assert.Equal(0x77, machine[0x200]);
    }

    [Fact]
    public void Another_library_is_refused_by_what_its_core_looks_like()
    {
        var strange = new byte[20_000];
        unsafe
        {
            fixed (byte* core = strange)
            {
                fixed (byte* name = "atmega2560\0"u8) *(nint*)core = (nint)name;
                var address = (nint)core;
                var error = Assert.Throws<InvalidOperationException>(() => AvrLayout.ThrowIfOther(address));
                Assert.Contains("libsimavr2 1.6", error.Message, StringComparison.Ordinal);
            }
        }
    }

    // SBI DDRC,2 (0x9A3A); SBI DDRC,0 (0x9A38); SBI PORTC,0 (0x9A40); RJMP to itself.
    private static ReadOnlySpan<byte> DriveC => [0x3A, 0x9A, 0x38, 0x9A, 0x40, 0x9A, 0xFF, 0xCF];

    private AvrUsart Usart(byte divider, bool doubled, out AvrUsart line, Action<byte>? sent = null)
    {
        line = new AvrUsart(_machine, sent ?? (static _ => { }));
        IRegister registers = line;
        registers.Write(Registers.UCSR0A, (byte)(doubled ? 2 : 0));
        _machine[Registers.UBRR0L] = divider;
        registers.Write(Registers.UCSR0B, 0x18);
        return line;
    }

    private sealed class Bus : ISpiBus
    {
        public (int Sent, long Start, int CyclesPerBit) Seen { get; private set; }

        public byte Exchange(byte sent, long startCycle, int cyclesPerBit)
        {
            Seen = (sent, startCycle, cyclesPerBit);
            return (byte)~sent;
        }
    }
}
