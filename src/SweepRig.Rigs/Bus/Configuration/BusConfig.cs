using SweepRig.Domain;
using SweepRig.Domain.Quantities;
using SweepRig.Domain.Rigs;

namespace SweepRig.Rigs.Bus.Configuration;

/// <summary>A direct bus rig as its builder wired it. Read from a document by <see cref="BusDocument"/>, which checks every range stated here.</summary>
/// <param name="SerialNumber">Unique among the rigs of a bench, 1 to 40 characters; stored with every run.</param>
/// <param name="I2cBus">Number of the board's I2C bus: 1 is <c>/dev/i2c-1</c>.</param>
/// <param name="I2cKilohertz">Clock that the board gives that bus, 100 or 400; the system sets it, this only says so.</param>
/// <param name="Drive">DAC and drive amplifier.</param>
/// <param name="Clamp">Hardware that holds the grid drive whatever the DAC says; null when there is none.</param>
/// <param name="ConverterAddresses">I2C addresses of the two ADS1115, 0x48 to 0x4B.</param>
/// <param name="Channels">The five channels, in link order.</param>
/// <param name="Heater">Heater supply.</param>
/// <param name="Rail">Plate rail.</param>
/// <param name="Switches">The port expander and what hangs on it.</param>
/// <param name="Resistors">Fitted resistors, from whose drops all currents come.</param>
/// <param name="Limits">Limits as configured; see <see cref="HardLimits"/> for those that hold.</param>
public sealed record BusConfig(
    string SerialNumber,
    int I2cBus,
    int I2cKilohertz,
    DriveSetting Drive,
    Clamp? Clamp,
    IReadOnlyList<int> ConverterAddresses,
    IReadOnlyList<ChannelSetting> Channels,
    HeaterSetting Heater,
    RailSetting Rail,
    SwitchSetting Switches,
    FittedResistors Resistors,
    RigLimits Limits)
{
    /// <summary>
    /// The configured limits with the drive's ceiling at the lower of limit and clamp. Without a clamp it is 0 V: a DAC keeps its last code when the program
    /// that wrote it has died, and nothing else on this rig would notice.
    /// </summary>
    public RigLimits HardLimits => Limits with { DriveCeiling = new(Math.Min(Limits.DriveCeiling.Value, Clamp?.Voltage.Value ?? 0)) };

    /// <summary>Why the ceiling is below the configured one; null when it is not.</summary>
    public string? CeilingReason => Clamp is null
        ? Limits.DriveCeiling.Value > 0
            ? "a rig on a direct bus has no watchdog to end a positive drive when this program dies, and its configuration declares no hardware clamp; fit one and declare it as \"clamp\""
            : null
        : Clamp.Voltage < Limits.DriveCeiling ? $"its hardware clamp ({Clamp.Part}) holds the drive at {Clamp.Voltage}" : null;

    /// <summary>Longest ordinary time of one conversion with its traffic, microseconds; see <see cref="BusTiming"/>.</summary>
    public int ConversionMicroseconds => BusTiming.ConversionMicroseconds(I2cKilohertz);
}

/// <param name="SpiBus">SPI controller of the board: 0 is <c>/dev/spidev0.x</c>.</param>
/// <param name="ChipSelect">Chip select on it.</param>
/// <param name="Output">Output of the AD5328 that drives the amplifier, 0 (A) to 7 (H).</param>
/// <param name="FromSupply">True when the DAC takes its reference from its own supply, false for its reference pin.</param>
/// <param name="Scale">Drive at the lowest and the highest code, amplifier included.</param>
public sealed record DriveSetting(int SpiBus, int ChipSelect, int Output, bool FromSupply, DriveScale Scale);

/// <summary>A part that limits the drive by itself, for example a diode to a fixed supply, or the amplifier's own positive supply.</summary>
/// <param name="Part">What it is, in the builder's words.</param>
/// <param name="Voltage">Highest drive that it lets through, above 0 V.</param>
public sealed record Clamp(string Part, Volts Voltage);

/// <param name="Channel">Which voltage.</param>
/// <param name="Converter">0 for the first ADS1115, 1 for the second.</param>
/// <param name="Input">Its input, 0 to 3, single-ended.</param>
/// <param name="FullScaleMillivolts">Range of the converter: 256, 512, 1024, 2048, 4096 or 6144. No input may go above the chip's supply.</param>
/// <param name="Ratio">Volts of the channel for one volt at the input.</param>
/// <param name="AtZero">Voltage of the channel when the input is at 0 V; negative behind a divider that shifts.</param>
public sealed record ChannelSetting(RigChannel Channel, int Converter, int Input, int FullScaleMillivolts, double Ratio, Volts AtZero)
{
    /// <summary>
    /// A single-ended input uses the positive half of the converter's 16 bits: codes 0 to 32767, one step being 1/32768 of the range (ADS111x data sheet
    /// SBAS444D, 9.3.1 and Table 3). Averages gain one binary place, which fills 16 bits.
    /// </summary>
    public ChannelScale Scale => new(Channel, 15, 1, AtZero, new(AtZero.Value + Ratio * FullScaleMillivolts / 1000 * 32767 / 32768));
}

/// <summary>An INA219 in one supply.</summary>
/// <param name="Address">I2C address, 0x40 to 0x4F.</param>
/// <param name="ShuntOhms">Its shunt.</param>
/// <param name="MaxAmps">Highest current; more trips.</param>
public sealed record CurrentMeter(int Address, double ShuntOhms, double MaxAmps);

/// <param name="Meter">Current meter in the positive line.</param>
/// <param name="Voltage">What the heater supply gives; it cannot be set from here.</param>
/// <param name="InrushMilliseconds">Time after switching on for which a cold heater may draw more and pull its supply down.</param>
public sealed record HeaterSetting(CurrentMeter Meter, Volts Voltage, int InrushMilliseconds);

/// <param name="Meter">Current meter of the rail.</param>
/// <param name="HighSide">
/// True when it sits in the positive line and sees the rail's voltage, which must then stay within the 26 V that the chip bears; false in the
/// return, where it sees the current alone.
/// </param>
public sealed record RailSetting(CurrentMeter Meter, bool HighSide);

/// <summary>Pins of the MCP23017, 0 to 7 for GPA0 to GPA7 and 8 to 15 for GPB0 to GPB7. High means on.</summary>
/// <param name="Address">I2C address, 0x20 to 0x27.</param>
/// <param name="SocketPins">Relay of each socket; exactly one is on.</param>
/// <param name="PentodePin">Relay that ties the screen through its resistor to the rail.</param>
/// <param name="TriodePin">Relay that ties the screen to the plate.</param>
/// <param name="HeaterPin">Heater supply.</param>
/// <param name="RailPin">Plate rail.</param>
/// <param name="StopPin">Input of the emergency stop, high when pressed or its wire is broken; null when there is none.</param>
/// <param name="SettleMilliseconds">Time that relays are given, contact bounce included.</param>
public sealed record SwitchSetting(
    int Address, IReadOnlyList<int> SocketPins, int PentodePin, int TriodePin, int HeaterPin, int RailPin, int? StopPin, int SettleMilliseconds);

/// <param name="PlateOhms">From rail to plate.</param>
/// <param name="ScreenOhms">From rail to screen.</param>
/// <param name="StopperOhms">From drive to grid pin.</param>
public sealed record FittedResistors(double PlateOhms, double ScreenOhms, double StopperOhms);
