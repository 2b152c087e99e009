using System.Buffers.Binary;
using System.Device.I2c;
using System.Diagnostics.CodeAnalysis;
using Iot.Device.Adc;
using SweepRig.Rigs.Bus.Configuration;

namespace SweepRig.Rigs.Bus.Chips;

/// <summary>What an INA219 sees.</summary>
/// <param name="Volts">At its negative input; about 0 in a return line.</param>
/// <param name="Amps">Through the shunt; NaN on overflow.</param>
/// <param name="Overflow">Its arithmetic overflowed, so that the current is meaningless.</param>
internal readonly record struct SupplyReading(double Volts, double Amps, bool Overflow);

/// <summary>One INA219, converting by itself: 12 bits, 32 V, 320 mV over the shunt, the settings it resets to (SBOS448G, 8.5.4).</summary>
/// <remarks>
/// Set up through the library, read here. In Iot.Device.Bindings 4.2.0 Ina219.ReadBusVoltage drops the overflow flag, ReadCurrent takes the signed register as
/// unsigned (a small negative current becomes some 65,535 steps), both wait 532 µs on a busy loop though the chip converts by itself, and the setter of
/// ShuntAdcResolutionOrSamples shifts its value into the bus converter's bits.
/// </remarks>
[SuppressMessage("Design", "CA1001", Justification = "BusWires closes the devices; it says why the library's objects are left.")]
internal sealed class SupplyMeter
{
    private const byte BusVoltageRegister = 2;
    private const byte CurrentRegister = 4;
    private const byte ConfigurationRegister = 0;
    private const ushort ConfigurationReset = 0x399f;
    private const double BusStepVolts = 0.004;
    private const int LargestCalibration = 0xfffe;

    private readonly GuardedI2cDevice _device;
    private readonly double _stepAmps;

    /// <exception cref="BusFaultException">Nothing answers there, or something else.</exception>
    public SupplyMeter(I2cDevice device, string name, CurrentMeter meter, TimeProvider time)
    {
        _device = new(device, name, time);
        Ina219 chip = new(_device);
        chip.Reset();
        var configuration = Read(ConfigurationRegister);
        if (configuration != ConfigurationReset)
            throw _device.Wrong($"answers but does not behave as one: its configuration reads 0x{configuration:x4} after a reset, 0x{ConfigurationReset:x4} is right");
        var calibration = CalibrationOf(meter);
        _stepAmps = StepAmps(calibration, meter.ShuntOhms);
        chip.SetCalibration((ushort)calibration, (float)_stepAmps);
    }

    /// <summary>
    /// Calibration = trunc(0.04096 / (step · shunt)), its lowest bit always 0 (SBOS448G, equation 1 and 8.6.4.1), for a range of twice the limit where
    /// the register's 16 bits allow.
    /// </summary>
    public static int CalibrationOf(CurrentMeter meter)
    {
        var step = 2 * meter.MaxAmps / 32768;
        return (int)Math.Min(0.04096 / (step * meter.ShuntOhms), LargestCalibration) & LargestCalibration;
    }

    public static double StepAmps(int calibration, double shuntOhms) => 0.04096 / (calibration * shuntOhms);

    /// <exception cref="BusFaultException">No answer.</exception>
    public SupplyReading Read()
    {
        var bus = Read(BusVoltageRegister);
        var overflow = (bus & 1) != 0;
        return new((bus >> 3) * BusStepVolts, overflow ? double.NaN : (short)Read(CurrentRegister) * _stepAmps, overflow);
    }

    private ushort Read(byte register)
    {
        Span<byte> bytes = stackalloc byte[2];
        _device.WriteRead([register], bytes);
        return BinaryPrimitives.ReadUInt16BigEndian(bytes);
    }
}
