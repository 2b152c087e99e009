namespace SweepRig.EndToEnd.Tests.Emulated.Avr;

/// <summary>Data addresses and bits of the ATmega328P that the harness models (data sheet DS40002061, section 31 register summary), under their names there.</summary>
internal static class Registers
{
    public const ushort PINB = 0x23;
    public const ushort PINC = 0x26;
    public const ushort PIND = 0x29;

    public const ushort SPCR = 0x4C;
    public const ushort SPSR = 0x4D;
    public const ushort SPDR = 0x4E;
    public const ushort MCUSR = 0x54;

    public const ushort UCSR0A = 0xC0;
    public const ushort UCSR0B = 0xC1;
    public const ushort UBRR0L = 0xC4;
    public const ushort UBRR0H = 0xC5;
    public const ushort UDR0 = 0xC6;

    public const ushort SramStart = 0x100;
    public const ushort SramEnd = 0x8FF;

    // MCUSR, section 11.9.1.
    public const byte PORF = 1;
    public const byte EXTRF = 2;
    public const byte BORF = 4;
    public const byte WDRF = 8;
}
