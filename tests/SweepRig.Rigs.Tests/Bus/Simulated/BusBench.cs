using Microsoft.Extensions.Logging.Abstractions;
using SweepRig.Domain;
using SweepRig.Domain.Tubes;
using SweepRig.Rigs.Bus;
using SweepRig.Rigs.Bus.Configuration;
using SweepRig.Rigs.Link;
using SweepRig.Rigs.Simulated;
using SweepRig.Rigs.Simulated.Physics;
using SweepRig.Tubes.Catalogue;
using SweepRig.Tubes.Model;

namespace SweepRig.Rigs.Tests.Bus.Simulated;

/// <summary>
/// A board with its chips, its relays and a tube: the library's bindings talk to registers, the registers to the physics of the simulated rig. No noise, no
/// errors of gain and offset, so that the curve is the solver's to the step.
/// </summary>
internal sealed class BusBench : IBusPort
{
    private const int Drive = 0;

    private readonly Bench _tube;
    private readonly RigWiring[] _wirings;
    private readonly int _emptySocket;
    private int _levels;

    /// <param name="clock">Null for one that takes no time.</param>
    public BusBench(BusConfig config, TubeParameters? tube = null, BenchClock? clock = null)
    {
        Clock = clock ?? new();
        Config = config;
        var sockets = config.Switches.SocketPins.Count;
        _emptySocket = sockets;
        _tube = new(new SimulatedRigOptions
        {
            Drive = config.Drive.Scale,
            Tubes = [.. Enumerable.Repeat<TubeParameters?>(tube ?? ExampleTubes.Sound6AU6, sockets), null],
            HeaterSpeed = 1000,
            GainError = 0,
            OffsetErrorVolts = 0,
            NoiseVolts = 0,
            HumVolts = 0,
        });
        _wirings = [Wired(ConnectionKind.Pentode), Wired(ConnectionKind.Triode)];
        _tube.SelectSocket(0, _emptySocket);
        I2c = new(Clock);
        Dac = new(Clock, (channel, code) =>
        {
            DriveCodes.Add(code);
            if (channel == Drive) _tube.WriteDrive(Now, code);
        });
        First = new(Clock, input => InputVolts(0, input));
        Second = new(Clock, input => InputVolts(1, input));
        HeaterMeter = new(() => HeaterAmps * config.Heater.Meter.ShuntOhms, () => IsOn(config.Switches.HeaterPin) ? HeaterVolts : 0);
        RailMeter = new(() => RailAmps() * config.Rail.Meter.ShuntOhms, () => config.Rail.HighSide ? Volts(RigChannel.Supply) : 0);
        Switches = new(Switched);
        I2c.Put(config.ConverterAddresses[0], First);
        I2c.Put(config.ConverterAddresses[1], Second);
        I2c.Put(config.Heater.Meter.Address, HeaterMeter);
        I2c.Put(config.Rail.Meter.Address, RailMeter);
        I2c.Put(config.Switches.Address, Switches);
    }

    public static BusConfig Example { get; } = BusDocument.Parse(File.ReadAllText(ExampleFile)).Value!;

    /// <summary>Path of the configuration that the project ships.</summary>
    public static string ExampleFile
    {
        get
        {
            var directory = new DirectoryInfo(AppContext.BaseDirectory);
            while (directory is not null && !File.Exists(Path.Combine(directory.FullName, "SweepRig.sln"))) directory = directory.Parent;
            return Path.Combine(directory?.FullName ?? "", "firmware-notes", "direct-bus.example.json");
        }
    }

    /// <summary>The example with a clamp, so that it may go positive.</summary>
    public static BusConfig Clamped { get; } = Example with { Clamp = new("a diode to a 24 V shunt regulator", new(24)) };

    public BusConfig Config { get; }
    public BenchClock Clock { get; }
    public SimulatedI2cBus I2c { get; }
    public Ad5328Chip Dac { get; }
    public Ads1115Chip First { get; }
    public Ads1115Chip Second { get; }
    public Ina219Chip HeaterMeter { get; }
    public Ina219Chip RailMeter { get; }
    public Mcp23017Chip Switches { get; }

    /// <summary>Every code that any output of the DAC took.</summary>
    public List<int> DriveCodes { get; } = [];

    /// <summary>Voltage that the plate supply gives while it is on.</summary>
    public double SupplyVolts { get; init; } = 28;

    public double HeaterVolts { get; set; } = 6.3;

    /// <summary>Current of a warm heater: 0.3 A at 6.3 V for a 6AU6 (registered data, from memory).</summary>
    public double WarmHeaterAmps { get; set; } = 0.3;

    /// <summary>What the rail gives beside plate and screen.</summary>
    public double LeakAmps { get; set; }

    /// <summary>Why the buses cannot be opened; null when they can.</summary>
    public string? Shut { get; set; }

    public int Opened { get; private set; }
    public int Closed { get; private set; }

    public string Name => "the simulated buses";

    public int SafeCode => Config.Drive.Scale.ToCode(Config.Limits.DriveFloor);

    public bool RailOn => IsOn(Config.Switches.RailPin);

    public bool HeaterOn => IsOn(Config.Switches.HeaterPin);

    /// <summary>By the registers: the drive at its safe code and the rail's switch off.</summary>
    public bool IsSafe => Dac.Output(Drive) == SafeCode && !RailOn;

    private long Now => Clock.Microseconds;

    private double HeaterAmps => HeaterOn ? WarmHeaterAmps : 0;

    public BusRig MakeRig() => new(Config, this, Clock, NullLogger<BusRig>.Instance);

    public void Inject(params IReadOnlyList<SimulatedFault> faults) => _tube.Faults = faults;

    public BusWires Open()
    {
        if (Shut is { } why) throw new RigPortException(why);
        Opened++;
        return new(Dac, I2c.At, new Claim(() => Closed++));
    }

    private bool IsOn(int pin) => (Switches.Levels & (1 << pin)) != 0;

    private double Volts(RigChannel channel) => _tube.VoltsAt(Now, channel);

    private RigWiring Wired(ConnectionKind kind) =>
        new(kind, (int)Config.Resistors.PlateOhms, (int)Config.Resistors.ScreenOhms, (int)Config.Resistors.StopperOhms);

    // The divider in front of an input; an input with no channel on it is at ground. Protection diodes keep it within its supply of 5 V.
    private double InputVolts(int converter, int input)
    {
        var channel = Config.Channels.FirstOrDefault(c => c.Converter == converter && c.Input == input);
        return channel is null ? 0 : Math.Clamp((Volts(channel.Channel) - channel.AtZero.Value) / channel.Ratio, -0.3, 5.3);
    }

    private double RailAmps()
    {
        var rail = Volts(RigChannel.Supply);
        var plate = (rail - Volts(RigChannel.Plate)) / Config.Resistors.PlateOhms;
        var screen = IsOn(Config.Switches.PentodePin) ? (rail - Volts(RigChannel.Screen)) / Config.Resistors.ScreenOhms : 0;
        return plate + screen + LeakAmps;
    }

    private void Switched(int levels)
    {
        var changed = levels ^ _levels;
        _levels = levels;
        var pins = Config.Switches;
        if ((changed & (1 << pins.HeaterPin)) != 0) _tube.SwitchHeater(Now, IsOn(pins.HeaterPin), HeaterVolts);
        if ((changed & (1 << pins.RailPin)) != 0) _tube.SwitchRail(Now, IsOn(pins.RailPin), SupplyVolts);
        var closed = Enumerable.Range(0, pins.SocketPins.Count).Where(s => IsOn(pins.SocketPins[s])).ToArray();
        Assert.True(closed.Length <= 1, "Two sockets are connected at once.");
        Assert.False(IsOn(pins.PentodePin) && IsOn(pins.TriodePin), "Rail and plate are tied together through the screen relays.");
        _tube.SelectSocket(Now, closed.Length == 1 ? closed[0] : _emptySocket);
        if (IsOn(pins.PentodePin)) _tube.Wire(Now, _wirings[0]);
        if (IsOn(pins.TriodePin)) _tube.Wire(Now, _wirings[1]);
    }

    private sealed class Claim(Action end) : IDisposable
    {
        public void Dispose() => end();
    }
}
