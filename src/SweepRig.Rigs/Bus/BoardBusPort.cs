using System.Device.I2c;
using System.Device.Spi;
using SweepRig.Rigs.Bus.Configuration;
using SweepRig.Rigs.Link;

namespace SweepRig.Rigs.Bus;

/// <summary>The buses of the single-board computer that this program runs on, by the device files of Linux.</summary>
/// <param name="config">Which buses.</param>
/// <param name="devices">Where the device files are; <c>/dev</c> but for tests.</param>
public sealed class BoardBusPort(BusConfig config, string devices = "/dev") : IBusPort
{
    /// <summary>The AD5328 takes 30 MHz (data sheet Rev. F, p. 1); a tenth and less is kinder to wires.</summary>
    private const int SpiHertz = 1_000_000;

    /// <inheritdoc/>
    public string Name => $"I2C bus {config.I2cBus} and SPI {config.Drive.SpiBus}.{config.Drive.ChipSelect}";

    private string I2cFile => Path.Combine(devices, $"i2c-{config.I2cBus}");

    private string SpiFile => Path.Combine(devices, $"spidev{config.Drive.SpiBus}.{config.Drive.ChipSelect}");

    /// <inheritdoc/>
    public BusWires Open()
    {
        if (!OperatingSystem.IsLinux()) throw new RigPortException("A rig on a direct bus needs Linux on a single-board computer. Use a rig on a serial port here, with --port.");
        Reachable(I2cFile, $"There is no I2C bus {config.I2cBus} on this machine", "i2c-*", "i2c", FileShare.ReadWrite).Dispose();
        // The lock is the DAC's: whoever holds it is the only one to drive.
        var claim = Reachable(SpiFile, $"There is no SPI bus {config.Drive.SpiBus} with chip select {config.Drive.ChipSelect} on this machine", "spidev*", "spi", FileShare.None);
        try
        {
            var spi = SpiDevice.Create(new(config.Drive.SpiBus, config.Drive.ChipSelect) { ClockFrequency = SpiHertz, Mode = SpiMode.Mode1, DataBitLength = 8 });
            return new(spi, address => I2cDevice.Create(new(config.I2cBus, address)), claim);
        }
        catch
        {
            claim.Dispose();
            throw;
        }
    }

    private FileStream Reachable(string file, string absent, string pattern, string group, FileShare share)
    {
        if (!File.Exists(file))
        {
            var present = Directory.Exists(devices) ? Directory.GetFileSystemEntries(devices, pattern).Order(StringComparer.Ordinal).ToArray() : [];
            throw new RigPortException(
                $"{absent} ({file}). {(present.Length == 0 ? $"No {pattern} is present." : $"Present are {string.Join(", ", present)}.")} " +
                "Enable the bus in the settings of the board's system and start it again, or correct the number in the --bus file.");
        }
        try
        {
            return new(file, FileMode.Open, FileAccess.ReadWrite, share, bufferSize: 0);
        }
        catch (UnauthorizedAccessException fault)
        {
            throw new RigPortException($"You may not open {file}. Join the group that owns it, usually {group} (`sudo usermod -aG {group} $USER`), and log in again.", fault);
        }
        catch (IOException fault)
        {
            throw new RigPortException($"{file} cannot be opened: {fault.Message.TrimEnd('.')}. End any other program that drives this rig (a second `serve`), then try again.", fault);
        }
    }
}
