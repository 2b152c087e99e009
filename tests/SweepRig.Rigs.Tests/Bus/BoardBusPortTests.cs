using SweepRig.Rigs.Bus;
using SweepRig.Rigs.Link;
using SweepRig.Rigs.Tests.Bus.Simulated;

namespace SweepRig.Rigs.Tests.Bus;

/// <summary>Opening the buses of a machine that has none, another one, or one in use. Device files stand in a directory of their own.</summary>
public sealed class BoardBusPortTests : IDisposable
{
    private readonly DirectoryInfo _devices = Directory.CreateTempSubdirectory("bus-");

    public void Dispose() => _devices.Delete(recursive: true);

    [Fact]
    public void No_bus_at_all()
    {
        var fault = Assert.Throws<RigPortException>(Open);
        Assert.Contains("There is no I2C bus 1 on this machine", fault.Message, StringComparison.Ordinal);
        Assert.Contains("No i2c-* is present. Enable the bus", fault.Message, StringComparison.Ordinal);
        Assert.DoesNotContain('\n', fault.Message);
    }

    [Fact]
    public void Another_bus()
    {
        Touch("i2c-0");
        Touch("i2c-20");
        var fault = Assert.Throws<RigPortException>(Open);
        Assert.Contains($"Present are {At("i2c-0")}, {At("i2c-20")}", fault.Message, StringComparison.Ordinal);
    }

    [Fact]
    public void No_SPI()
    {
        Touch("i2c-1");
        var fault = Assert.Throws<RigPortException>(Open);
        Assert.Contains("There is no SPI bus 0 with chip select 0", fault.Message, StringComparison.Ordinal);
    }

    [Fact]
    public void In_use_by_another_program()
    {
        Touch("i2c-1");
        Touch("spidev0.0");
        using var other = new FileStream(At("spidev0.0"), FileMode.Open, FileAccess.ReadWrite, FileShare.None);
        var fault = Assert.Throws<RigPortException>(Open);
        Assert.Contains("End any other program that drives this rig", fault.Message, StringComparison.Ordinal);
    }

    [Fact]
    public void Its_name_says_which_buses() => Assert.Equal("I2C bus 1 and SPI 0.0", new BoardBusPort(BusBench.Example).Name);

    private string At(string name) => Path.Combine(_devices.FullName, name);

    private void Touch(string name) => File.WriteAllText(At(name), "");

    private void Open() => new BoardBusPort(BusBench.Example, _devices.FullName).Open().Dispose();
}
