using System.Device.I2c;
using System.Diagnostics.CodeAnalysis;
using Iot.Device.Mcp23xxx;
using SweepRig.Rigs.Bus.Configuration;

namespace SweepRig.Rigs.Bus.Chips;

/// <summary>An MCP23017 with relays and supply switches. Every write is read back.</summary>
/// <remarks>
/// At power-up, and when the library opens it, all pins are inputs (MCP23017 data sheet DS20001952, Table 3-3: IODIR resets to 0xFF), so each switch needs a
/// resistor that holds it off.
/// </remarks>
[SuppressMessage("Design", "CA1001", Justification = "BusWires closes the devices; it says why the library's objects are left.")]
internal sealed class SwitchPort
{
    private readonly GuardedI2cDevice _device;
    private readonly Mcp23017 _port;
    private readonly ushort _inputs;

    /// <summary>All switches off.</summary>
    /// <exception cref="BusFaultException">Nothing answers there, or something else.</exception>
    public SwitchPort(I2cDevice device, string name, SwitchSetting setting, TimeProvider time)
    {
        _device = new(device, name, time);
        _port = new(_device);
        Outputs = 0;
        _port.WriteUInt16(Register.OLAT, 0);
        _inputs = (ushort)~setting.SocketPins.Concat([setting.PentodePin, setting.TriodePin, setting.HeaterPin, setting.RailPin]).Aggregate(0, (word, pin) => word | (1 << pin));
        _port.WriteUInt16(Register.GPPU, (ushort)(setting.StopPin is { } stop ? 1 << stop : 0));
        _port.WriteUInt16(Register.IODIR, _inputs);
        ThrowIfLost();
    }

    /// <summary>What is switched on, one bit a pin.</summary>
    public ushort Outputs { get; private set; }

    /// <exception cref="BusFaultException">No answer, or the chip does not hold what it was told.</exception>
    public void Write(int word)
    {
        _port.WriteUInt16(Register.OLAT, (ushort)word);
        Outputs = (ushort)word;
        ThrowIfLost();
    }

    /// <summary>The level of an input.</summary>
    public bool Read(int pin) => (_port.ReadUInt16(Register.GPIO) & (1 << pin)) != 0;

    /// <summary>A chip that has lost its supply for a moment has all pins as inputs again: everything off, and not known here.</summary>
    /// <exception cref="BusFaultException">It has.</exception>
    public void ThrowIfLost()
    {
        var directions = _port.ReadUInt16(Register.IODIR);
        if (directions != _inputs) throw _device.Wrong($"has lost its settings: its directions read 0x{directions:x4}, 0x{_inputs:x4} was written");
        var outputs = _port.ReadUInt16(Register.OLAT);
        if (outputs != Outputs) throw _device.Wrong($"does not hold what it was told: its outputs read 0x{outputs:x4}, 0x{Outputs:x4} was written");
    }
}
