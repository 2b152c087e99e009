using System.Text.Json.Nodes;
using SweepRig.Rigs.Bus.Configuration;
using SweepRig.Rigs.Tests.Bus.Simulated;

namespace SweepRig.Rigs.Tests.Bus;

/// <summary>The configuration of a direct bus rig: every bad value by itself, and all of them at once.</summary>
public class BusDocumentTests
{
    private static readonly string Example = File.ReadAllText(BusBench.ExampleFile);

    [Fact]
    public void The_example_is_good_and_stays_below_zero()
    {
        var read = BusDocument.Parse(Example);
        Assert.True(read.IsAccepted, string.Join("\n", read.Refusals));
        var config = read.Value;
        Assert.Equal(("BUS-001", 1, 400), (config.SerialNumber, config.I2cBus, config.I2cKilohertz));
        Assert.Equal([0x48, 0x49], config.ConverterAddresses);
        Assert.Equal((0x40, 0x41, 0x20), (config.Heater.Meter.Address, config.Rail.Meter.Address, config.Switches.Address));
        Assert.Equal((24.0, 0.0), (config.Limits.DriveCeiling.Value, config.HardLimits.DriveCeiling.Value));
        Assert.NotNull(config.CeilingReason);
    }

    [Theory]
    [InlineData("/format", "\"bus-rig/2\"", "unknown-word")]
    [InlineData("/serialNumber", "\" \"", "out-of-range")]
    [InlineData("/i2c/bus", "-1", "out-of-range")]
    [InlineData("/i2c/kilohertz", "1000", "out-of-range")]
    [InlineData("/drive/output", "8", "out-of-range")]
    [InlineData("/drive/reference", "\"vdd\"", "unknown-word")]
    [InlineData("/drive/atHighestCodeVolts", "-20", "reversed-limits")]
    [InlineData("/drive/atLowestCodeVolts", "1", "out-of-range")]
    [InlineData("/converters/first", "\"0x40\"", "out-of-range")]
    [InlineData("/converters/first", "72", "wrong-type")]
    [InlineData("/channels/plate/converter", "\"third\"", "unknown-word")]
    [InlineData("/channels/plate/input", "4", "out-of-range")]
    [InlineData("/channels/grid/fullScaleMillivolts", "5000", "out-of-range")]
    [InlineData("/channels/drive/ratio", "0", "out-of-range")]
    [InlineData("/heater/meter", "\"0x50\"", "out-of-range")]
    [InlineData("/heater/volts", "30", "out-of-range")]
    [InlineData("/heater/maxAmps", "1e999", "not-finite")]
    [InlineData("/rail/place", "\"plus\"", "unknown-word")]
    [InlineData("/switches/address", "\"0x28\"", "out-of-range")]
    [InlineData("/switches/socketPins", "[0,1,1]", "bad-list")]
    [InlineData("/switches/socketPins", "[]", "bad-list")]
    [InlineData("/switches/socketPins", "[16]", "bad-list")]
    [InlineData("/switches/socketPins", "0", "wrong-type")]
    [InlineData("/switches/settleMilliseconds", "0", "out-of-range")]
    [InlineData("/resistors/plateOhms", "\"10k\"", "wrong-type")]
    [InlineData("/limits/driveFloorVolts", "0", "out-of-range")]
    [InlineData("/limits/supplyMaxVolts", "61", "out-of-range")]
    [InlineData("/limits/positiveSecondsPerMinute", "61", "out-of-range")]
    public void A_bad_value_is_named_with_its_path(string path, string value, string code) => Refused(path, value, code, path);

    [Theory]
    [InlineData("/converters/second", "\"0x48\"", "same-address", "/converters/second")]
    [InlineData("/rail/meter", "\"0x49\"", "same-address", "/rail/meter")]
    [InlineData("/channels/screen/input", "1", "same-input", "/channels/screen/input")]
    [InlineData("/switches/railPin", "3", "same-pin", "/switches/railPin")]
    [InlineData("/switches/stopPin", "8", "same-pin", "/switches/stopPin")]
    [InlineData("/limits/driveFloorVolts", "-16.5", "floor-below-amplifier", "/limits/driveFloorVolts")]
    [InlineData("/limits/supplyMinVolts", "30", "reversed-limits", "/limits/supplyMinVolts")]
    [InlineData("/channels/plate/ratio", "7", "channel-too-narrow", "/channels/plate")]
    [InlineData("/channels/drive/atZeroVolts", "-13", "channel-too-narrow", "/channels/drive")]
    [InlineData("/heater/shuntOhms", "1", "shunt-too-large", "/heater/shuntOhms")]
    [InlineData("/rail/place", "\"positive\"", "rail-above-meter", "/rail/place")]
    [InlineData("/rail/maxAmps", "0.02", "rail-below-cathode", "/rail/maxAmps")]
    public void What_one_value_demands_of_another_is_checked(string path, string value, string code, string at) => Refused(path, value, code, at);

    [Fact]
    public void A_clamp_above_what_the_read_back_sees_is_refused()
    {
        var document = JsonNode.Parse(Example)!;
        document["clamp"] = JsonNode.Parse("""{ "part": "none worth the name", "volts": 50 }""");
        document["limits"]!["driveCeilingVolts"] = 45;
        var read = BusDocument.Parse(document.ToJsonString());
        Assert.Equal(("channel-too-narrow", "/channels/drive"), read.Refusals.Select(r => (r.Code, r.Path)).Single());
    }

    [Fact]
    public void Unknown_missing_and_bad_keys_come_out_at_once()
    {
        var document = JsonNode.Parse(Example)!.AsObject();
        document["limits"]!.AsObject().Remove("gridMilliamps");
        document["limits"]!["gridMiliamps"] = 8;
        document["clamp"] = JsonNode.Parse("""{ "part": "", "volts": -1 }""");
        document["switches"]!["socketPins"] = 3;
        document["heater"] = null;
        var read = BusDocument.Parse(document.ToJsonString());
        Assert.False(read.IsAccepted);
        Assert.Equal(
            ["/clamp/part", "/clamp/volts", "/heater", "/limits/gridMiliamps", "/limits/gridMilliamps", "/switches/socketPins"],
            read.Refusals.Select(r => r.Path).Order(StringComparer.Ordinal));
        Assert.Contains(read.Refusals, r => r.Remedy.Contains("gridMilliamps", StringComparison.Ordinal));
    }

    [Theory]
    [InlineData("")]
    [InlineData("[]")]
    [InlineData("{ \"format\": \"bus-rig/1\", }")]
    [InlineData("nonsense")]
    public void What_is_no_such_document_gives_a_fault(string json) => Assert.NotEmpty(BusDocument.Parse(json).Refusals);

    [Fact]
    public void The_schema_knows_the_keys_that_the_reader_knows()
    {
        var schema = JsonNode.Parse(BusDocument.Schema)!;
        var example = JsonNode.Parse(Example)!.AsObject();
        example["clamp"] = JsonNode.Parse("""{ "part": "a", "volts": 1 }""");
        Compare(schema, example, "");

        void Compare(JsonNode at, JsonObject value, string path)
        {
            if (at["$ref"] is not null) at = schema["$defs"]!["channel"]!;
            Assert.False(at["additionalProperties"]!.GetValue<bool>(), path);
            Assert.Equal(value.Select(p => p.Key).Order(StringComparer.Ordinal), at["properties"]!.AsObject().Select(p => p.Key).Order(StringComparer.Ordinal));
            foreach (var (key, child) in value)
                if (child is JsonObject inner) Compare(at["properties"]![key]!, inner, $"{path}/{key}");
        }
    }

    private static void Refused(string path, string value, string code, string at)
    {
        var document = JsonNode.Parse(Example)!;
        var keys = path[1..].Split('/');
        var parent = keys[..^1].Aggregate(document, (node, key) => node[key]!);
        // As text, so that numbers beyond a double stay what they are.
        const string mark = "\"@@@\"";
        parent[keys[^1]] = "@@@";
        var read = BusDocument.Parse(document.ToJsonString().Replace(mark, value, StringComparison.Ordinal));
        Assert.Contains((code, at), read.Refusals.Select(r => (r.Code, r.Path)));
        Assert.All(read.Refusals, r => Assert.True(r.Asked.Length > 0 && r.Allowed.Length > 0 && r.Remedy.Length > 0));
    }
}
