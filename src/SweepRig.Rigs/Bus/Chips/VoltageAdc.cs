using System.Buffers.Binary;
using System.Device.I2c;
using System.Diagnostics.CodeAnalysis;
using Iot.Device.Ads1115;
using SweepRig.Rigs.Bus.Configuration;

namespace SweepRig.Rigs.Bus.Chips;

/// <summary>One ADS1115, asked for single conversions at 860 a second.</summary>
/// <remarks>
/// The library's wait for a conversion (Ads1115.WaitWhileBusy of Iot.Device.Bindings 4.2.0) counts polls, 5,000 of them, not time: with some 0.15 ms a poll on
/// a 400 kHz bus a hung chip would hold the drive up for three quarters of a second. The device below it is therefore given a deadline.
/// </remarks>
[SuppressMessage("Design", "CA1001", Justification = "BusWires closes the devices; it says why the library's objects are left.")]
internal sealed class VoltageAdc
{
    private const byte ConfigRegister = 1;
    private const byte LowThresholdRegister = 2;

    /// <summary>Comparator off, single-shot and 860 a second in the bits that stay the same (SBAS444D, 9.6.3, Table 8).</summary>
    private const ushort SteadyMask = 0x01ff;
    private const ushort Steady = 0x01e3;
    private const ushort LowThresholdReset = 0x8000;

    /// <summary>Twice what the slowest chip needs on a bus of 100 kHz.</summary>
    private static readonly TimeSpan Deadline = TimeSpan.FromMilliseconds(6);

    /// <summary>For getting to know the chip, when nothing is on yet: the library makes two conversions.</summary>
    private static readonly TimeSpan FirstDeadline = TimeSpan.FromMilliseconds(200);

    /// <summary>Equal codes in a row, from all inputs in use, after which the chip counts as stuck: with a noise of about one step that is no chance (SBAS444D, Table 1).</summary>
    private const int StuckAfter = 12;

    private readonly GuardedI2cDevice _device;
    private readonly Ads1115 _adc;
    private readonly int _inputsInUse;
    private int _lastCode, _equalCodes, _equalInputs;

    /// <param name="inputsInUse">One bit an input.</param>
    /// <exception cref="BusFaultException">Nothing answers there, or something else.</exception>
    public VoltageAdc(I2cDevice device, string name, int inputsInUse, TimeProvider time)
    {
        _inputsInUse = inputsInUse;
        _device = new(device, name, time);
        _device.Within(FirstDeadline, "finish its first conversions");
        _adc = new(_device, InputMultiplexer.AIN0, MeasuringRange.FS6144, DataRate.SPS860, DeviceMode.PowerDown);
        _device.Forever();
        var config = Read(ConfigRegister);
        if ((config & SteadyMask) != Steady || Read(LowThresholdRegister) != LowThresholdReset)
            throw _device.Wrong($"answers but does not behave as one: its configuration reads 0x{config:x4} after 0x{0x8000 | Steady:x4} was written in part");
    }

    /// <summary>One single-ended conversion, −32768 to 32767. A little below 0 happens at an input of 0 V.</summary>
    /// <exception cref="BusFaultException">No answer, no result in time, or the same code for all inputs.</exception>
    public int Convert(ChannelSetting channel)
    {
        _device.Within(Deadline, "finish a conversion");
        var code = _adc.ReadRaw(InputMultiplexer.AIN0 + channel.Input, RangeOf(channel.FullScaleMillivolts), DataRate.SPS860);
        _device.Forever();
        ThrowIfStuck(channel.Input, code);
        return code;
    }

    private void ThrowIfStuck(int input, int code)
    {
        if (code != _lastCode) (_equalCodes, _equalInputs) = (0, 0);
        (_lastCode, _equalCodes, _equalInputs) = (code, _equalCodes + 1, _equalInputs | (1 << input));
        var several = (_inputsInUse & (_inputsInUse - 1)) != 0;
        if (!several || _equalCodes < StuckAfter || _equalInputs != _inputsInUse) return;
        _equalCodes = 0;
        throw _device.Wrong($"is stuck: it gives code {code} for each of its inputs");
    }

    public static MeasuringRange RangeOf(int millivolts) => millivolts switch
    {
        6144 => MeasuringRange.FS6144,
        4096 => MeasuringRange.FS4096,
        2048 => MeasuringRange.FS2048,
        1024 => MeasuringRange.FS1024,
        512 => MeasuringRange.FS0512,
        256 => MeasuringRange.FS0256,
        _ => throw new ArgumentOutOfRangeException(nameof(millivolts), millivolts, "SweepRig bug: the configuration let this range pass."),
    };

    private ushort Read(byte register)
    {
        Span<byte> bytes = stackalloc byte[2];
        _device.WriteRead([register], bytes);
        return BinaryPrimitives.ReadUInt16BigEndian(bytes);
    }
}
