using System.Text.Json;
using System.Text.Json.Nodes;
using Json.Schema;
using SweepRig.Domain.Quantities;
using SweepRig.Domain.Rigs;
using SweepRig.Domain.Rigs.Documents;
using SweepRig.Domain.Tubes;

namespace SweepRig.Domain.Tests.Rigs;

public sealed class CalibrationDocumentTests
{
    private static readonly JsonSchema Schema = JsonSchema.FromText(CalibrationDocument.Schema);

    [Fact]
    public void A_calibration_comes_back_as_it_was_written()
    {
        var read = CalibrationDocument.Parse(CalibrationDocument.Write(Calibrations.Example));
        Assert.Empty(read.Refusals);
        var found = read.Value!;
        Assert.Equal(Calibrations.Example.Channels, found.Channels);
        Assert.Equal(Calibrations.Example.Resistors, found.Resistors);
        Assert.Equal(Calibrations.Example.Rails, found.Rails);
        Assert.Equal(Calibrations.Example, found with { Channels = Calibrations.Example.Channels, Resistors = Calibrations.Example.Resistors, Rails = Calibrations.Example.Rails });
    }

    [Fact]
    public void What_is_written_is_valid_by_the_schema() => Assert.True(Valid(JsonNode.Parse(CalibrationDocument.Write(Calibrations.Example))!));

    public static TheoryData<string, string, string> Faults => new()
    {
        { "/format", "\"rig-calibration/9\"", "unknown-word" },
        { "/slope2", "1", "unknown-key" },
        { "/madeUtc", "\"yesterday\"", "bad-time" },
        { "/validUntilUtc", "\"2020-01-01T00:00:00.000Z\"", "reversed-times" },
        { "/id", "\"nominal\"", "reserved-id" },
        { "/id", "\"newest\"", "reserved-id" },
        { "/rigSerialNumber", "\"\"", "out-of-range" },
        { "/meter/percentOfReading", "50", "out-of-range" },
        { "/meter/accuracy", "1", "unknown-key" },
        { "/meter/counts", "0", "meter-without-error" },
        { "/drive/slope", "3", "out-of-range" },
        { "/drive/slope", "\"1\"", "wrong-type" },
        { "/drive/fromVolts", "50", "reversed-limits" },
        { "/channels/plate/covariance/atCentreSlope", "1", "no-covariance" },
        { "/channels/plate/points", "2", "out-of-range" },
        { "/channels/heater", "{}", "unknown-key" },
        { "/resistors/plate/ohms", "0", "out-of-range" },
        { "/rails/biasRail/volts", "1e999", "not-finite" },
    };

    [Theory]
    [MemberData(nameof(Faults))]
    public void A_bad_value_gives_one_refusal_at_its_place(string path, string value, string code)
    {
        var document = JsonNode.Parse(CalibrationDocument.Write(Calibrations.Example))!;
        if (code == "meter-without-error") document["meter"]!["percentOfReading"] = 0;
        Put(document, path, value);
        var read = CalibrationDocument.Parse(document.ToJsonString());
        Assert.False(read.IsAccepted);
        Assert.Contains(read.Refusals, r => r.Code == code);
        Assert.All(read.Refusals, r => Assert.False(string.IsNullOrWhiteSpace(r.Remedy)));
    }

    [Fact]
    public void Several_faults_come_out_together()
    {
        var document = JsonNode.Parse(CalibrationDocument.Write(Calibrations.Example))!;
        Put(document, "/drive/slope", "3");
        Put(document, "/meter/rangeVolts", "-1");
        document.AsObject().Remove("rigSerialNumber");
        Assert.Equal(3, CalibrationDocument.Parse(document.ToJsonString()).Refusals.Count);
    }

    [Theory]
    [InlineData("/meter/percentOfReading", "50")]
    [InlineData("/drive/slope", "3")]
    [InlineData("/other", "1")]
    [InlineData("/id", "\"nominal\"")]
    [InlineData("/id", "\"newest\"")]
    [InlineData("/id", "\"as-measured\"")]
    public void What_the_schema_forbids_is_refused_too(string path, string value)
    {
        var document = JsonNode.Parse(CalibrationDocument.Write(Calibrations.Example))!;
        Put(document, path, value);
        Assert.False(Valid(document));
        Assert.False(CalibrationDocument.Parse(document.ToJsonString()).IsAccepted);
    }

    [Fact]
    public void A_file_of_another_rig_is_refused_with_both_serial_numbers()
    {
        Assert.Null(CalibrationDocument.AgainstRig(Calibrations.Example, "SIM-0001"));
        var refusal = CalibrationDocument.AgainstRig(Calibrations.Example, "RIG-0042")!;
        Assert.Contains("SIM-0001", refusal.Asked, StringComparison.Ordinal);
        Assert.Contains("RIG-0042", refusal.Allowed, StringComparison.Ordinal);
    }

    [Fact]
    public void Malformed_text_is_told_with_its_place() =>
        Assert.Contains("line 1", Assert.Single(CalibrationDocument.Parse("{ \"format\": ").Refusals).Asked, StringComparison.Ordinal);

    [Fact]
    public void A_calibration_is_stale_from_its_last_day_on()
    {
        var until = Calibrations.Example.Origin!.ValidUntilUtc;
        Assert.False(Calibrations.Example.At(until.AddSeconds(-1)).IsStale);
        Assert.True(Calibrations.Example.At(until).IsStale);
        Assert.False(RigCalibration.Nominal(Rig).At(until).IsStale);
    }

    [Fact]
    public void A_plan_that_names_the_measured_resistor_gets_its_measured_value()
    {
        var planned = new Connection(ConnectionKind.Pentode, new(28), new(-14), new(6.3), new(10_000), new(100), new(47_000));
        var measured = Calibrations.Example.Measured(planned);
        Assert.Equal(new Ohms(10_013.5), measured.PlateResistor);
        Assert.Equal(new Ohms(100), measured.ScreenResistor);
        // The stopper of this plan is another one than the 4.7 kΩ that was measured.
        Assert.Equal(new Ohms(47_000), measured.GridStopper);
    }

    private static RigIdentity Rig { get; } = new(
        1, "test", "test", "SIM-0001", 1, Supplies.None, new(12, new(-16), new(32)), [new(RigChannel.Plate, 12, 4, new(0), new(40.96))],
        new(new(-14), new(26), new(0.008), new(0.03), new(0), new(40), 40), 300, 16, ResetReason.PowerOn);

    private static bool Valid(JsonNode document) => Schema.Evaluate(JsonElement.Parse(document.ToJsonString())).IsValid;

    private static void Put(JsonNode document, string path, string value)
    {
        var keys = path.TrimStart('/').Split('/');
        JsonNode at = document;
        foreach (var key in keys[..^1]) at = at[key]!;
        at[keys[^1]] = JsonNode.Parse(value);
    }
}
