using System.Device.I2c;

namespace SweepRig.Rigs.Tests.Bus.Simulated;

/// <summary>A chip on I2C, seen by bytes.</summary>
internal interface II2cChip
{
    void Write(ReadOnlySpan<byte> bytes);

    void Read(Span<byte> bytes);
}

/// <summary>
/// An I2C bus: nine clocks a byte, address byte included (UM10204, 3.1.5), and 40 µs that the system adds. An address at which nothing answers
/// fails as it does in the Linux driver, with error 121 (EREMOTEIO).
/// </summary>
internal sealed class SimulatedI2cBus(BenchClock clock)
{
    private const double SystemMicroseconds = 40;

    private readonly Dictionary<int, II2cChip> _chips = [];

    /// <summary>Chips that have stopped answering.</summary>
    public HashSet<int> Silent { get; } = [];

    /// <summary>Transactions still answered before every chip falls silent; null for ever.</summary>
    public int? Left { get; set; }

    /// <summary>Its clock, 100 or 400.</summary>
    public int Kilohertz { get; set; } = 400;

    public void Put(int address, II2cChip chip) => _chips[address] = chip;

    public I2cDevice At(int address) => new Device(this, address);

    private II2cChip Chip(int address, int bytes)
    {
        clock.Spend((bytes + 1) * 9 * 1000.0 / Kilohertz + SystemMicroseconds);
        if (Left is { } left)
        {
            if (left == 0) throw Nothing();
            Left = left - 1;
        }
        return !Silent.Contains(address) && _chips.TryGetValue(address, out var chip) ? chip : throw Nothing();
    }

    private static IOException Nothing() => new("Error 121 performing I2C data transfer.");

    private sealed class Device(SimulatedI2cBus bus, int address) : I2cDevice
    {
        public override I2cConnectionSettings ConnectionSettings { get; } = new(1, address);

        public override void Read(Span<byte> buffer) => bus.Chip(address, buffer.Length).Read(buffer);

        public override void Write(ReadOnlySpan<byte> buffer) => bus.Chip(address, buffer.Length).Write(buffer);

        public override void WriteRead(ReadOnlySpan<byte> writeBuffer, Span<byte> readBuffer)
        {
            var chip = bus.Chip(address, writeBuffer.Length + 1 + readBuffer.Length);
            chip.Write(writeBuffer);
            chip.Read(readBuffer);
        }
    }
}
