namespace SweepRig.Rigs.Bus.Configuration;

/// <summary>How long things take on the bus. Every byte on I2C costs nine clocks: eight bits and the acknowledgement (UM10204, 3.1.5).</summary>
public static class BusTiming
{
    /// <summary>860 conversions a second, 10 % either way (ADS111x data sheet SBAS444D, 7.5 "Data rate variation"): at the slowest 1/774 s.</summary>
    public const int SlowestConversionMicroseconds = 1_292;

    /// <summary>A single conversion starts about 25 µs after it is asked for (SBAS444D, 9.4.2.1).</summary>
    public const int WakeMicroseconds = 25;

    /// <summary>What the system adds to the four transactions of a conversion. Assumed: 40 µs each.</summary>
    private const int SystemMicroseconds = 160;

    /// <summary>The start of a conversion: address, register and two bytes, start and stop.</summary>
    private const int StartClocks = 4 * 9 + 2;

    /// <summary>A register read: address and register, address again and two bytes, start, restart and stop.</summary>
    private const int ReadClocks = 5 * 9 + 3;

    /// <summary>One poll may have begun just too early, so two are counted; then the result is read.</summary>
    public static int ConversionMicroseconds(int kilohertz) =>
        SlowestConversionMicroseconds + WakeMicroseconds + SystemMicroseconds + ((StartClocks + 3 * ReadClocks) * 1000 + kilohertz - 1) / kilohertz;
}
