using System.Text.Json;
using SweepRig.Domain;
using SweepRig.Domain.Plans.Reading;
using SweepRig.Domain.Rigs;
using SweepRig.Domain.Tubes;

namespace SweepRig.Rigs.Bus.Configuration;

/// <summary>Walks the document of a bus rig. Reads every part even after a fault, so that all faults come out at once.</summary>
internal static class BusReader
{
    public const int FirstConverterAddress = 0x48;
    public const int LastConverterAddress = 0x4b;
    public const int FirstMeterAddress = 0x40;
    public const int LastMeterAddress = 0x4f;
    public const int FirstSwitchAddress = 0x20;
    public const int LastSwitchAddress = 0x27;

    private static readonly string[] ChannelNames = ["plate", "grid", "screen", "supply", "drive"];
    private static readonly double Elv = ExtraLowVoltage.Limit.Value;

    /// <returns>The configuration, or null when faults were added.</returns>
    public static BusConfig? Read(JsonElement element, List<Refusal> faults)
    {
        var root = ObjectReader.Open(
            element, "", faults, "format", "serialNumber", "i2c", "drive", "clamp", "converters", "channels", "heater", "rail", "switches", "resistors", "limits");
        if (root is null) return null;
        _ = root.Word("format", BusDocument.Format);
        var serial = root.Line("serialNumber", 40);
        var i2c = root.Object("i2c", true, "bus", "kilohertz");
        var bus = i2c?.Whole("bus", 0, 255, "");
        var kilohertz = i2c?.WholeOf("kilohertz", "kHz", 100, 400);
        var drive = ReadDrive(root);
        var clamp = ReadClamp(root);
        var converters = ReadConverters(root);
        var channels = ReadChannels(root);
        var heater = ReadHeater(root);
        var rail = ReadRail(root);
        var switches = ReadSwitches(root);
        var resistors = ReadResistors(root);
        var limits = ReadLimits(root);
        if (faults.Count > 0) return null;
        var config = new BusConfig(
            serial!, bus!.Value, kilohertz!.Value, drive!, clamp, converters!, channels!, heater!, rail!, switches!, resistors!, limits!);
        BusChecks.Check(config, faults);
        return config;
    }

    private static DriveSetting? ReadDrive(ObjectReader root)
    {
        if (root.Object("drive", true, "spiBus", "chipSelect", "output", "reference", "atLowestCodeVolts", "atHighestCodeVolts") is not { } drive) return null;
        var bus = drive.Whole("spiBus", 0, 255, "");
        var select = drive.Whole("chipSelect", 0, 15, "");
        var output = drive.Whole("output", 0, 7, "");
        var reference = drive.Word("reference", "pin", "supply");
        var low = drive.Number("atLowestCodeVolts", -Elv, 0, "V");
        var high = drive.Number("atHighestCodeVolts", -Elv, Elv, "V");
        if (low >= high)
        {
            drive.Fault("reversed-limits", "atHighestCodeVolts", $"atHighestCodeVolts {ObjectReader.Text(high.Value)} V is not above atLowestCodeVolts {ObjectReader.Text(low.Value)} V",
                "the amplifier must give its lowest drive at code 0, where the DAC starts", "Use an amplifier that does not invert.");
            return null;
        }
        if (bus is null || select is null || output is null || reference is null || low is null || high is null) return null;
        return new(bus.Value, select.Value, output.Value, reference == "supply", new(12, new(low.Value), new(high.Value)));
    }

    private static Clamp? ReadClamp(ObjectReader root)
    {
        if (root.Object("clamp", false, "part", "volts") is not { } clamp) return null;
        var part = clamp.Line("part", 120);
        var volts = clamp.Number("volts", 0.1, Elv, "V");
        return part is null || volts is null ? null : new(part, new(volts.Value));
    }

    private static int[]? ReadConverters(ObjectReader root)
    {
        if (root.Object("converters", true, "first", "second") is not { } converters) return null;
        var first = converters.Address("first", FirstConverterAddress, LastConverterAddress);
        var second = converters.Address("second", FirstConverterAddress, LastConverterAddress);
        return first is null || second is null ? null : [first.Value, second.Value];
    }

    private static ChannelSetting[]? ReadChannels(ObjectReader root)
    {
        if (root.Object("channels", true, ChannelNames) is not { } channels) return null;
        var read = RigChannels.All.Select(c => ReadChannel(channels, c)).ToArray();
        return read.Any(c => c is null) ? null : [.. read.OfType<ChannelSetting>()];
    }

    private static ChannelSetting? ReadChannel(ObjectReader channels, RigChannel number)
    {
        var channel = channels.Object(ChannelNames[(int)number], true, "converter", "input", "fullScaleMillivolts", "ratio", "atZeroVolts");
        if (channel is null) return null;
        var converter = channel.Word("converter", "first", "second");
        var input = channel.Whole("input", 0, 3, "");
        var full = channel.WholeOf("fullScaleMillivolts", "mV", 256, 512, 1024, 2048, 4096, 6144);
        var ratio = channel.Number("ratio", 1, 1000, "V/V");
        var zero = channel.Number("atZeroVolts", -Elv, Elv, "V");
        if (converter is null || input is null || full is null || ratio is null || zero is null) return null;
        return new(number, converter == "first" ? 0 : 1, input.Value, full.Value, ratio.Value, new(zero.Value));
    }

    private static HeaterSetting? ReadHeater(ObjectReader root)
    {
        if (root.Object("heater", true, "meter", "shuntOhms", "maxAmps", "volts", "inrushMilliseconds") is not { } heater) return null;
        var meter = ReadMeter(heater, 20);
        var volts = heater.Number("volts", 0.5, 26, "V");
        var inrush = heater.Whole("inrushMilliseconds", 0, 60_000, "ms");
        return meter is null || volts is null || inrush is null ? null : new(meter, new(volts.Value), inrush.Value);
    }

    private static RailSetting? ReadRail(ObjectReader root)
    {
        if (root.Object("rail", true, "meter", "shuntOhms", "maxAmps", "place") is not { } rail) return null;
        var meter = ReadMeter(rail, 2);
        var place = rail.Word("place", "positive", "return");
        return meter is null || place is null ? null : new(meter, place == "positive");
    }

    private static CurrentMeter? ReadMeter(ObjectReader supply, double mostAmps)
    {
        var address = supply.Address("meter", FirstMeterAddress, LastMeterAddress);
        var shunt = supply.Number("shuntOhms", 0.001, 100, "Ω");
        var amps = supply.Number("maxAmps", 0.001, mostAmps, "A");
        return address is null || shunt is null || amps is null ? null : new(address.Value, shunt.Value, amps.Value);
    }

    private static SwitchSetting? ReadSwitches(ObjectReader root)
    {
        var switches = root.Object("switches", true, "address", "socketPins", "pentodePin", "triodePin", "heaterPin", "railPin", "stopPin", "settleMilliseconds");
        if (switches is null) return null;
        var address = switches.Address("address", FirstSwitchAddress, LastSwitchAddress);
        var sockets = switches.Wholes("socketPins", 1, 8, 0, 15);
        var pentode = switches.Whole("pentodePin", 0, 15, "");
        var triode = switches.Whole("triodePin", 0, 15, "");
        var heater = switches.Whole("heaterPin", 0, 15, "");
        var rail = switches.Whole("railPin", 0, 15, "");
        var stop = switches.Has("stopPin") ? switches.Whole("stopPin", 0, 15, "") : null;
        var settle = switches.Whole("settleMilliseconds", 1, 500, "ms");
        if (address is null || sockets is null || pentode is null || triode is null || heater is null || rail is null || settle is null) return null;
        return new(address.Value, sockets, pentode.Value, triode.Value, heater.Value, rail.Value, stop, settle.Value);
    }

    private static FittedResistors? ReadResistors(ObjectReader root)
    {
        if (root.Object("resistors", true, "plateOhms", "screenOhms", "stopperOhms") is not { } resistors) return null;
        var plate = resistors.Number("plateOhms", 1, RigWiring.MaxOhms, "Ω");
        var screen = resistors.Number("screenOhms", 1, RigWiring.MaxOhms, "Ω");
        var stopper = resistors.Number("stopperOhms", 1, RigWiring.MaxOhms, "Ω");
        return plate is null || screen is null || stopper is null ? null : new(plate.Value, screen.Value, stopper.Value);
    }

    private static RigLimits? ReadLimits(ObjectReader root)
    {
        var limits = root.Object(
            "limits", true, "driveFloorVolts", "driveCeilingVolts", "gridMilliamps", "cathodeMilliamps", "supplyMinVolts", "supplyMaxVolts", "positiveSecondsPerMinute");
        if (limits is null) return null;
        var floor = limits.Number("driveFloorVolts", -Elv, -0.1, "V");
        var ceiling = limits.Number("driveCeilingVolts", 0, Elv, "V");
        var grid = limits.Number("gridMilliamps", 0.001, 1000, "mA");
        var cathode = limits.Number("cathodeMilliamps", 0.001, 1000, "mA");
        var min = limits.Number("supplyMinVolts", 0, Elv, "V");
        var max = limits.Number("supplyMaxVolts", 0.1, Elv, "V");
        var positive = limits.Number("positiveSecondsPerMinute", 0, 60, "s");
        if (floor is null || ceiling is null || grid is null || cathode is null || min is null || max is null || positive is null) return null;
        return new(new(floor.Value), new(ceiling.Value), new(grid.Value / 1000), new(cathode.Value / 1000), new(min.Value), new(max.Value), positive.Value);
    }
}
