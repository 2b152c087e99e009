using SweepRig.Domain;
using SweepRig.Domain.Quantities;
using SweepRig.Rigs.Control;

namespace SweepRig.Rigs.Bus.Configuration;

/// <summary>What the parts of a configuration demand of each other.</summary>
internal static class BusChecks
{
    /// <summary>Largest voltage over the shunt of an INA219 (SBOS448G, 8.6.2.1, PG bits 11).</summary>
    private const double FullShuntVolts = 0.32;

    /// <summary>Highest common-mode voltage of an INA219 (SBOS448G, 7.5).</summary>
    private const double MaxMeterVolts = 26;

    private static readonly string[] Names = ["plate", "grid", "screen", "supply", "drive"];

    public static void Check(BusConfig config, List<Refusal> faults)
    {
        Addresses(config, faults);
        Inputs(config, faults);
        Pins(config, faults);
        Ranges(config, faults);
        Meters(config, faults);
    }

    private static void Addresses(BusConfig config, List<Refusal> faults)
    {
        (string Path, int Address)[] all =
        [
            ("/converters/first", config.ConverterAddresses[0]), ("/converters/second", config.ConverterAddresses[1]),
            ("/heater/meter", config.Heater.Meter.Address), ("/rail/meter", config.Rail.Meter.Address), ("/switches/address", config.Switches.Address),
        ];
        for (var i = 1; i < all.Length; i++)
            for (var j = 0; j < i; j++)
                if (all[i].Address == all[j].Address)
                    faults.Add(new("same-address", all[i].Path, $"address 0x{all[i].Address:x2}", $"{all[j].Path} has it already", "Set the address pins of one of them otherwise."));
    }

    private static void Inputs(BusConfig config, List<Refusal> faults)
    {
        for (var i = 1; i < config.Channels.Count; i++)
            for (var j = 0; j < i; j++)
                if (config.Channels[i].Converter == config.Channels[j].Converter && config.Channels[i].Input == config.Channels[j].Input)
                    faults.Add(new("same-input", $"/channels/{Names[i]}/input", $"input {config.Channels[i].Input}", $"the {Names[j]} channel has it already", "Give each channel an input of its own."));
    }

    private static void Pins(BusConfig config, List<Refusal> faults)
    {
        var s = config.Switches;
        var all = s.SocketPins.Select(p => ("socketPins", p))
            .Concat([("pentodePin", s.PentodePin), ("triodePin", s.TriodePin), ("heaterPin", s.HeaterPin), ("railPin", s.RailPin)])
            .Concat(s.StopPin is { } stop ? [("stopPin", stop)] : []).ToArray();
        for (var i = 1; i < all.Length; i++)
            if (all.Take(i).FirstOrDefault(o => o.Item2 == all[i].Item2) is { Item1: { } taken })
                faults.Add(new("same-pin", $"/switches/{all[i].Item1}", $"pin {all[i].Item2}", $"{taken} has it already", "Give each switch a pin of its own."));
    }

    private static void Ranges(BusConfig config, List<Refusal> faults)
    {
        var limits = config.Limits;
        var scale = config.Drive.Scale;
        if (limits.DriveFloor < scale.AtZero)
        {
            faults.Add(new("floor-below-amplifier", "/limits/driveFloorVolts", $"the floor is {limits.DriveFloor}", $"the amplifier gives {scale.AtZero} at code 0",
                $"Write {scale.AtZero} or more."));
        }
        if (limits.SupplyMin >= limits.SupplyMax)
        {
            faults.Add(new("reversed-limits", "/limits/supplyMinVolts", $"supplyMinVolts is {limits.SupplyMin}", $"supplyMaxVolts is {limits.SupplyMax}", "Exchange them."));
        }
        var ceiling = config.HardLimits.DriveCeiling;
        Reaches(RigChannel.Plate, new(0), limits.SupplyMax);
        Reaches(RigChannel.Screen, new(0), limits.SupplyMax);
        Reaches(RigChannel.Supply, new(0), limits.SupplyMax);
        Reaches(RigChannel.Grid, limits.DriveFloor, new(0));
        // A ceiling that the read-back cannot see beyond would never be found broken.
        Reaches(RigChannel.Drive, limits.DriveFloor, new(ceiling.Value + 2 * LimitWatch.CeilingMarginVolts));

        void Reaches(RigChannel channel, Volts low, Volts high)
        {
            var of = config.Channels[(int)channel].Scale;
            if (of.AtZero <= low && of.AtFullScale >= high) return;
            faults.Add(new("channel-too-narrow", $"/channels/{Names[(int)channel]}", $"it reads {of.AtZero} to {of.AtFullScale}", $"the limits need {low} to {high}",
                "Change its ratio, offset or range, or tighten the limits."));
        }
    }

    private static void Meters(BusConfig config, List<Refusal> faults)
    {
        foreach (var (path, meter) in new[] { ("/heater", config.Heater.Meter), ("/rail", config.Rail.Meter) })
        {
            var drop = meter.MaxAmps * meter.ShuntOhms;
            if (drop > FullShuntVolts)
            {
                faults.Add(new("shunt-too-large", $"{path}/shuntOhms", $"{new Amps(meter.MaxAmps)} drop {new Volts(drop)} over it", $"an INA219 reads up to {new Volts(FullShuntVolts)}",
                    $"Use at most {new Ohms(FullShuntVolts / meter.MaxAmps)}."));
            }
        }
        if (config.Rail.HighSide && config.Limits.SupplyMax.Value > MaxMeterVolts)
        {
            faults.Add(new("rail-above-meter", "/rail/place", $"the meter is in the positive line of a rail of up to {config.Limits.SupplyMax}", $"an INA219 bears {new Volts(MaxMeterVolts)}",
                "Put its shunt into the return and write \"return\", or lower supplyMaxVolts."));
        }
        if (config.Rail.Meter.MaxAmps < config.Limits.CathodeCurrent.Value)
        {
            faults.Add(new("rail-below-cathode", "/rail/maxAmps", $"the rail trips at {new Amps(config.Rail.Meter.MaxAmps)}", $"the cathode may draw {config.Limits.CathodeCurrent}",
                "Allow the rail the cathode current and what the dividers take."));
        }
    }
}
