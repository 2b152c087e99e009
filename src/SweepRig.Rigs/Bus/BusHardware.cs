using SweepRig.Domain;
using SweepRig.Domain.Tubes;
using SweepRig.Rigs.Bus.Chips;
using SweepRig.Rigs.Bus.Configuration;

namespace SweepRig.Rigs.Bus;

/// <summary>The chips of one rig, and the only place that drives anything: DAC, heater, plate rail, relays.</summary>
internal sealed class BusHardware
{
    private readonly BusConfig _config;
    private readonly DriveDac _dac;
    private readonly SwitchPort _switches;
    private readonly VoltageAdc[] _converters;
    private readonly SupplyMeter _heater;
    private readonly SupplyMeter _rail;

    private BusHardware(BusConfig config, DriveDac dac, SwitchPort switches, VoltageAdc[] converters, SupplyMeter heater, SupplyMeter rail)
    {
        (_config, _dac, _switches, _converters, _heater, _rail) = (config, dac, switches, converters, heater, rail);
        SafeCode = SafeCodeOf(config);
        DriveCode = SafeCode;
    }

    /// <summary>The drive's floor.</summary>
    public int SafeCode { get; }
    public int DriveCode { get; private set; }
    public bool HeaterOn { get; private set; }
    public bool PlateRailOn { get; private set; }
    public int? Socket { get; private set; }
    public ConnectionKind? Connection { get; private set; }

    public bool AtSafe => DriveCode == SafeCode;

    public static int SafeCodeOf(BusConfig config) => config.Drive.Scale.ToCode(config.Limits.DriveFloor);

    /// <summary>Brings the drive to safe, switches everything off, and only then gets to know the other chips.</summary>
    /// <exception cref="BusFaultException">One of them does not answer or is not what it should be.</exception>
    public static BusHardware Open(BusConfig config, BusWires wires, TimeProvider time)
    {
        var dac = new DriveDac(wires.Drive, config.Drive);
        dac.Begin(SafeCodeOf(config));
        var switches = new SwitchPort(wires.At(config.Switches.Address), $"the switch port (MCP23017 at 0x{config.Switches.Address:x2})", config.Switches, time);
        var converters = new VoltageAdc[2];
        for (var i = 0; i < converters.Length; i++)
        {
            var channels = config.Channels.Where(c => c.Converter == i).ToArray();
            var name = channels.Length == 0 ? "no channel" : string.Join(", ", channels.Select(c => c.Channel.ToString().ToLowerInvariant()));
            converters[i] = new(
                wires.At(config.ConverterAddresses[i]), $"the converter of {name} (ADS1115 at 0x{config.ConverterAddresses[i]:x2})",
                channels.Aggregate(0, (inputs, c) => inputs | (1 << c.Input)), time);
        }
        return new(config, dac, switches, converters, Meter("heater", config.Heater.Meter), Meter("plate rail", config.Rail.Meter));

        SupplyMeter Meter(string of, CurrentMeter meter) => new(wires.At(meter.Address), $"the meter of the {of} (INA219 at 0x{meter.Address:x2})", meter, time);
    }

    /// <summary>One conversion as a code of the channel's scale, held at its ends.</summary>
    public int Convert(RigChannel channel)
    {
        var setting = _config.Channels[(int)channel];
        return Math.Clamp(_converters[setting.Converter].Convert(setting), 0, setting.Scale.MaxCode);
    }

    public SupplyReading ReadHeater() => _heater.Read();

    public SupplyReading ReadRail() => _rail.Read();

    public bool StopPressed() => _config.Switches.StopPin is { } pin && _switches.Read(pin);

    /// <exception cref="BusFaultException">The switch port has lost its supply or its mind.</exception>
    public void ThrowIfSwitchesLost() => _switches.ThrowIfLost();

    public void WriteDrive(int code)
    {
        _dac.Write(code);
        DriveCode = code;
    }

    public void SetHeater(bool on) => Set(on, _config.Switches.HeaterPin, () => HeaterOn = on);

    public void SetPlateRail(bool on) => Set(on, _config.Switches.RailPin, () => PlateRailOn = on);

    /// <summary>Null opens all relays of the sockets.</summary>
    public void SelectSocket(int? socket)
    {
        var pins = _config.Switches.SocketPins;
        var others = _switches.Outputs & ~pins.Aggregate(0, (word, pin) => word | (1 << pin));
        _switches.Write(socket is { } one ? others | (1 << pins[one]) : others);
        Socket = socket;
    }

    /// <summary>Null opens both relays of the screen.</summary>
    public void SelectConnection(ConnectionKind? kind)
    {
        var (pentode, triode) = (1 << _config.Switches.PentodePin, 1 << _config.Switches.TriodePin);
        var others = _switches.Outputs & ~(pentode | triode);
        _switches.Write(kind switch { ConnectionKind.Pentode => others | pentode, ConnectionKind.Triode => others | triode, _ => others });
        Connection = kind;
    }

    /// <summary>Drive to safe, then plate rail off, each whether or not the other succeeds.</summary>
    /// <exception cref="BusFaultException">One of them failed.</exception>
    public void MakeSafe()
    {
        try
        {
            if (!AtSafe) WriteDrive(SafeCode);
        }
        finally
        {
            if (PlateRailOn) SetPlateRail(false);
        }
    }

    /// <summary>Everything to safe and off without believing what was written before. Throws nothing.</summary>
    /// <returns>What could not be done, for people; empty when all is done.</returns>
    public IReadOnlyList<string> GiveUp()
    {
        var left = new List<string>();
        Try(() => WriteDrive(SafeCode), "the drive could not be brought to its safe code");
        Try(() => _switches.Write(0), "the plate rail and the heater could not be switched off");
        (HeaterOn, PlateRailOn, Socket, Connection) = (false, false, null, null);
        return left;

        void Try(Action act, string failed)
        {
            try
            {
                act();
            }
            catch (IOException)
            {
                left.Add(failed);
            }
        }
    }

    private void Set(bool on, int pin, Action note)
    {
        _switches.Write(on ? _switches.Outputs | (1 << pin) : _switches.Outputs & ~(1 << pin));
        note();
    }
}
