using System.Buffers.Binary;
using System.Device.I2c;
using Iot.Device.Adc;
using SweepRig.Domain;
using SweepRig.Rigs.Bus;
using SweepRig.Rigs.Bus.Chips;
using SweepRig.Rigs.Tests.Bus.Simulated;

namespace SweepRig.Rigs.Tests.Bus;

/// <summary>Each chip by its registers, against the figures of its data sheet.</summary>
public class ChipTests
{
    private readonly BenchClock _clock = new();

    // SBAS444D, Table 3: one step is the range over 2^15. Input voltage, range in mV, code. 9.5.4: full scale reads 7FFFh.
    [Theory]
    [InlineData(0.0, 2048, 0)]
    [InlineData(62.5e-6, 2048, 1)]
    [InlineData(1.0, 2048, 16000)]
    [InlineData(1.0, 4096, 8000)]
    [InlineData(125e-6, 4096, 1)]
    [InlineData(187.5e-6, 6144, 1)]
    [InlineData(31.25e-6, 1024, 1)]
    [InlineData(15.625e-6, 512, 1)]
    [InlineData(7.8125e-6, 256, 1)]
    [InlineData(2.1, 2048, 32767)]
    [InlineData(-62.5e-6, 2048, -1)]
    public void A_conversion_has_the_step_of_its_range(double volts, int millivolts, int code)
    {
        var bus = new SimulatedI2cBus(_clock);
        bus.Put(0x48, new Ads1115Chip(_clock, input => input == 2 ? volts : -99));
        var adc = new VoltageAdc(bus.At(0x48), "the converter", 0b0100, _clock);
        Assert.Equal(code, adc.Convert(new(RigChannel.Plate, 0, 2, millivolts, 1, new(0))));
    }

    // SBAS444D, 9.6.2 to 9.6.4: values after a reset.
    [Theory]
    [InlineData(0, 0x0000)]
    [InlineData(1, 0x8583)]
    [InlineData(2, 0x8000)]
    [InlineData(3, 0x7fff)]
    public void The_simulated_converter_resets_as_the_data_sheet_says(byte register, int value)
    {
        var bus = new SimulatedI2cBus(_clock);
        bus.Put(0x48, new Ads1115Chip(_clock, _ => 0));
        Assert.Equal(value, Read(bus.At(0x48), register));
    }

    // SBOS448G, 9.2.2 and Table 8 "Register results for the example circuit": 15 A expected, 2 mΩ, step 1 mA, calibration 20480 (5000h); a load of
    // 10 A gives 20 mV (shunt 2000, 07D0h), bus 11.98 V (2995, times 8 is 5D98h), current 10000 (2710h), power 5990 (1766h) steps of 20 mW.
    [Fact]
    public void The_simulated_meter_gives_the_worked_example_of_the_data_sheet()
    {
        var bus = new SimulatedI2cBus(_clock);
        bus.Put(0x40, new Ina219Chip(() => 20e-3, () => 11.98));
        using var device = bus.At(0x40);
        using var meter = new Ina219(device);
        meter.Reset();
        Assert.Equal(0x399f, Read(device, 0));
        Assert.Equal(0, Read(device, 4));
        meter.SetCalibration(0x5000, 1e-3f);
        Assert.Equal(0x07d0, Read(device, 1));
        Assert.Equal(0x5d98, Read(device, 2) & 0xfff8);
        Assert.Equal(0b10, Read(device, 2) & 0b11);
        Assert.Equal(0x2710, Read(device, 4));
        Assert.Equal(0x1766, Read(device, 3));
    }

    [Theory]
    [InlineData(0.1, 0.6, 0.3)]
    [InlineData(1.0, 0.04, 0.012)]
    [InlineData(1.0, 0.04, -0.001)]
    [InlineData(0.1, 0.04, 0.02)]
    public void Currents_read_right_to_the_step_of_the_shunt(double ohms, double most, double amps)
    {
        var bus = new SimulatedI2cBus(_clock);
        var chip = new Ina219Chip(() => amps * ohms, () => 6.3);
        bus.Put(0x40, chip);
        var meter = new SupplyMeter(bus.At(0x40), "the meter", new(0x40, ohms, most), _clock);
        var reading = meter.Read();
        Assert.False(reading.Overflow);
        Assert.Equal(6.3, reading.Volts, 0.002);
        // 10 µV over the shunt, and one step of the current.
        Assert.Equal(amps, reading.Amps, 10e-6 / ohms + SupplyMeter.StepAmps(chip.Calibration, ohms));
        Assert.Equal(0, chip.Calibration & 1);
    }

    [Fact]
    public void An_overflow_is_told_and_no_current_with_it()
    {
        var amps = 1.19;
        var bus = new SimulatedI2cBus(_clock);
        bus.Put(0x40, new Ina219Chip(() => amps * 0.1, () => 6.3));
        var meter = new SupplyMeter(bus.At(0x40), "the meter", new(0x40, 0.1, 0.6), _clock);
        Assert.Equal(1.19, meter.Read().Amps, 1e-3);
        amps = 1.3;
        Assert.Equal((true, double.NaN), (meter.Read().Overflow, meter.Read().Amps));
    }

    /// <summary>Why the register is read here: the library takes a small negative current for an enormous one and knows no overflow.</summary>
    [Fact]
    public void The_library_still_reads_negative_currents_as_unsigned()
    {
        var bus = new SimulatedI2cBus(_clock);
        bus.Put(0x40, new Ina219Chip(() => -1e-3, () => 6.3));
        using var device = bus.At(0x40);
        using var meter = new Ina219(device);
        meter.Reset();
        meter.SetCalibration(4096, 1e-4f);
        Assert.True(meter.ReadCurrent().Amperes > 6, "Iot.Device.Bindings has mended this: SupplyMeter may use ReadCurrent now.");
        meter.ShuntAdcResolutionOrSamples = Ina219AdcResolutionOrSamples.Adc12Bit;
        Assert.True((Read(device, 0) & 0x78) == 0, "Iot.Device.Bindings has mended this: SupplyMeter's remark may lose its last clause.");
    }

    // AD5308/AD5318/AD5328 Rev. F: power-on with LDAC high (Table 8, p. 17): codes wait. Outputs 0 to 7 are A to H; the code is the word's low 12 bits.
    [Fact]
    public void A_code_reaches_its_output_only_after_the_control_words()
    {
        var changes = new List<(int, int)>();
        using var chip = new Ad5328Chip(_clock, (channel, code) => changes.Add((channel, code)));
        var dac = new DriveDac(chip, BusBench.Example.Drive with { Output = 5, FromSupply = true });
        dac.Write(0xabc);
        Assert.Equal(0, chip.Output(5));
        dac.Begin(0x0ab);
        Assert.Equal(0x0ab, chip.Output(5));
        Assert.Equal(0b11, chip.ReferenceControl);
        for (var code = 0; code <= DriveDac.MaxCode; code++)
        {
            dac.Write(code);
            Assert.Equal(code, chip.Output(5));
        }
        // The code written before Begin never showed: the safe one overwrote it while it waited.
        Assert.Equal((5, 0x0ab), changes[0]);
        Assert.All(changes, c => Assert.Equal(5, c.Item1));
        Assert.Throws<ArgumentOutOfRangeException>(() => dac.Write(4096));
        Assert.Throws<ArgumentOutOfRangeException>(() => dac.Write(-1));
    }

    // DS20001952, Table 3-1: IODIR resets to FFh, all else to 00h.
    [Fact]
    public void Opening_the_switch_port_turns_no_pin_into_an_output_that_is_on()
    {
        var seen = new List<int>();
        var chip = new Mcp23017Chip(seen.Add);
        var bus = new SimulatedI2cBus(_clock);
        bus.Put(0x20, chip);
        Assert.Equal((0xffff, 0, 0), (chip.Directions, chip.Outputs, chip.PullUps));
        // As a program that was killed left it: heater and rail on.
        chip.Write([0x00, 0x00, 0x00]);
        chip.Write([0x14, 0x00, 0x03]);
        seen.Clear();
        var setting = BusBench.Example.Switches;
        var port = new SwitchPort(bus.At(0x20), "the switch port", setting, _clock);
        Assert.All(seen, levels => Assert.Equal(0, levels));
        Assert.Equal((0xfcc0, 0, 0x8000), (chip.Directions, chip.Outputs, chip.PullUps));
        port.Write(1 << setting.RailPin);
        Assert.Equal(1 << 9, chip.Levels);
        chip.Driven = 1 << 15;
        Assert.True(port.Read(15));
        Assert.False(port.Read(14));
        chip.PowerCycle();
        Assert.Throws<BusFaultException>(port.ThrowIfLost);
    }

    private static int Read(I2cDevice device, byte register)
    {
        Span<byte> bytes = stackalloc byte[2];
        device.WriteRead([register], bytes);
        return BinaryPrimitives.ReadUInt16BigEndian(bytes);
    }
}
