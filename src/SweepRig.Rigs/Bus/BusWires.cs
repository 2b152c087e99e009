using System.Device.I2c;
using System.Device.Spi;

namespace SweepRig.Rigs.Bus;

/// <summary>A way to the buses of a board that can be opened again and again.</summary>
public interface IBusPort
{
    /// <summary>For people, for example <c>I2C bus 1 and SPI 0.0</c>.</summary>
    string Name { get; }

    /// <summary>Opens the buses for this program alone. Talks to no chip yet.</summary>
    /// <exception cref="Link.RigPortException">They cannot be opened; the message says why and what to do.</exception>
    BusWires Open();
}

/// <summary>Opened buses.</summary>
/// <param name="drive">The drive's DAC, SPI mode 1.</param>
/// <param name="device">Makes the device at an I2C address; called once for each.</param>
/// <param name="claim">Held as long as the buses are; may be null.</param>
public sealed class BusWires(SpiDevice drive, Func<int, I2cDevice> device, IDisposable? claim) : IDisposable
{
    private readonly List<I2cDevice> _made = [];

    internal SpiDevice Drive => drive;

    internal I2cDevice At(int address)
    {
        var made = device(address);
        _made.Add(made);
        return made;
    }

    /// <summary>
    /// Closes the devices themselves and not the library's objects on them: disposing an Ads1115 (Iot.Device.Bindings 4.2.0) starts a conversion first, and when the
    /// chip does not answer it tries five times with <c>Thread.Sleep(100)</c> in between and then throws.
    /// </summary>
    public void Dispose()
    {
        foreach (var one in _made) one.Dispose();
        drive.Dispose();
        claim?.Dispose();
    }
}
