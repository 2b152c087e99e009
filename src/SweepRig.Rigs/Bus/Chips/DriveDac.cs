using System.Buffers.Binary;
using System.Device.Spi;
using System.Diagnostics.CodeAnalysis;
using Iot.Device.DAC;
using SweepRig.Rigs.Bus.Configuration;
using UnitsNet;

namespace SweepRig.Rigs.Bus.Chips;

/// <summary>One output of an AD5328. It cannot be read; that it does what it is told is seen on the drive's read-back channel.</summary>
/// <remarks>
/// Words of 16 bits: 0, three bits of output, twelve of code; or 1, two bits of kind, and control bits (data sheet AD5308/AD5318/AD5328 Rev. F, "Serial
/// Interface", p. 16 and 17, page numbers from memory). The library's AD5328 (Iot.Device.Bindings 4.2.0) writes codes only. Since the chip powers
/// up with its LDAC bits high, where codes wait in the input registers and no output moves, the control words are sent here.
/// </remarks>
[SuppressMessage("Design", "CA1001", Justification = "BusWires closes the devices; it says why the library's objects are left.")]
internal sealed class DriveDac
{
    public const int MaxCode = 4095;

    private const ushort ReferenceControl = 0x8000;
    private const ushort SupplyIsReference = 0b11;
    private const ushort UpdateAtOnce = 0xa000;
    private const ushort AllPoweredUp = 0xc000;

    private readonly SpiDevice _device;
    private readonly DriveSetting _setting;
    private readonly AD5328 _dac;

    public DriveDac(SpiDevice device, DriveSetting setting)
    {
        (_device, _setting) = (device, setting);
        // The library takes volts and scales them by reference over 4095 (the data sheet divides by 4096): a reference of 4095 V makes one code of each volt.
        var perCode = ElectricPotential.FromVolts(MaxCode);
        _dac = new(device, perCode, perCode);
    }

    private string Name => $"The AD5328 of the drive on SPI {_setting.SpiBus}.{_setting.ChipSelect}";

    /// <summary>The safe code first of all. A chip just powered up keeps it waiting until the control words have come; one that runs takes it at once.</summary>
    public void Begin(int safeCode)
    {
        Write(safeCode);
        Send((ushort)(ReferenceControl | (_setting.FromSupply ? SupplyIsReference : 0)));
        Send(UpdateAtOnce);
        Send(AllPoweredUp);
        Write(safeCode);
    }

    /// <param name="code">0 to <see cref="MaxCode"/>.</param>
    /// <exception cref="BusFaultException">The board's SPI failed; what the chip holds is not known.</exception>
    public void Write(int code)
    {
        ArgumentOutOfRangeException.ThrowIfNegative(code);
        ArgumentOutOfRangeException.ThrowIfGreaterThan(code, MaxCode);
        try
        {
            _dac.SetVoltage((ushort)_setting.Output, ElectricPotential.FromVolts(code));
        }
        catch (IOException fault)
        {
            throw Failed(fault);
        }
    }

    private void Send(ushort word)
    {
        Span<byte> bytes = stackalloc byte[2];
        BinaryPrimitives.WriteUInt16BigEndian(bytes, word);
        try
        {
            _device.Write(bytes);
        }
        catch (IOException fault)
        {
            throw Failed(fault);
        }
    }

    private BusFaultException Failed(IOException fault) =>
        new($"{Name} cannot be written ({fault.Message.TrimEnd('.')}). Switch the supplies off by hand, then check the board's SPI.", fault);
}
