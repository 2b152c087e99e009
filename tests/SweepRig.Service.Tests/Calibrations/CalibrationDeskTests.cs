using System.Net;
using System.Text.Json.Nodes;
using Microsoft.Extensions.DependencyInjection;
using SweepRig.Rigs.Simulated;
using SweepRig.Service.Tests.Cli.Support;
using SweepRig.Service.Stations;
using SweepRig.Service.Tests.Support;
using SweepRig.Sweeps.Running;

namespace SweepRig.Service.Tests.Calibrations;

/// <summary>A calibration through REST and command line on the whole bench: runner, link, simulated rig, store.</summary>
[Collection(RealTime.Name)]
public sealed class CalibrationDeskTests
{
    private const string Meter = """{ "name": "practice meter", "serialNumber": "M-7", "percentOfReading": 0.05, "rangeVolts": 60, "countVolts": 0.001, "counts": 3 }""";

    private const string Begin = $$"""{ "tubeOut": true, "meter": {{Meter}}, "note": "Workshop" }""";

    [Fact]
    public async Task The_practice_meter_leads_through_all_of_it_and_the_rig_works_on_the_result()
    {
        await using var bench = await WholeAsync();
        var run = await CliRun.OfAsync(bench.Directory, ["calibrate", "--practice-meter", "--note", "first"]);
        Assert.Equal(0, run.ExitCode);
        Assert.Contains("Kept: cal-", run.Output, StringComparison.Ordinal);
        Assert.Contains("plate channel", run.Output, StringComparison.Ordinal);
        Assert.DoesNotContain("fail", run.Output, StringComparison.Ordinal);
        var state = await bench.GetAsync("/api/bench");
        Assert.Equal("calibrated", (string?)state["rig"]!["calibration"]!["state"]);
        Assert.False((bool)state["rig"]!["calibration"]!["positivePoints"]!);
        Assert.Null((await bench.GetAsync("/api/calibration"))["procedure"]);
        // Nothing was driven above 0 V, and the rig rests safe.
        var journal = bench.Services.GetRequiredService<StationList>().Default.Simulated!.Journal;
        Assert.DoesNotContain(journal.Snapshot(), e => e.Kind == JournalKind.DriveWritten && e.Value > 0);
        Assert.True(journal.IsSafe);
        Assert.False(journal.HeaterOn);

        // One document out, and in again; a later bench takes it up from the record.
        var id = (string)state["rig"]!["calibration"]!["id"]!;
        var exported = await CliRun.OfAsync(bench.Directory, ["calibrate", "export", id]);
        Assert.Equal(0, exported.ExitCode);
        var document = JsonNode.Parse(exported.Output)!;
        Assert.Equal("SIM-0001", (string?)document["rigSerialNumber"]);
        var listed = await CliRun.OfAsync(bench.Directory, ["calibrate", "list"]);
        Assert.Contains(id, listed.Output, StringComparison.Ordinal);

        document["rigSerialNumber"] = "RIG-0042";
        document["id"] = "other";
        using var refused = await bench.SendAsync("POST", "/api/calibrations", new JsonObject { ["calibration"] = document.DeepClone() }.ToJsonString());
        var refusal = (await TestBench.ProblemAsync(refused, HttpStatusCode.UnprocessableEntity))["refusals"]![0]!;
        Assert.Contains("RIG-0042", (string?)refusal["asked"], StringComparison.Ordinal);
        Assert.Contains("SIM-0001", (string?)refusal["allowed"], StringComparison.Ordinal);
        document["rigSerialNumber"] = "SIM-0001";
        document["extra"] = 1;
        using var unknown = await bench.SendAsync("POST", "/api/calibrations", new JsonObject { ["calibration"] = document.DeepClone() }.ToJsonString());
        Assert.Equal("/calibration/extra", (string?)(await TestBench.ProblemAsync(unknown, HttpStatusCode.UnprocessableEntity))["refusals"]![0]!["path"]);
        document.AsObject().Remove("extra");
        using var kept = await bench.SendAsync("POST", "/api/calibrations", new JsonObject { ["calibration"] = document.DeepClone() }.ToJsonString());
        Assert.Equal(HttpStatusCode.OK, kept.StatusCode);

        await AssertImportAsync(bench, document, exported.Output, id);
    }

    /// <summary>A document as its text: checked first, told with every fault, kept without costing the calibration under way.</summary>
    private static async Task AssertImportAsync(TestBench bench, JsonNode document, string exported, string id)
    {
        async Task<(HttpStatusCode Status, JsonNode Answer)> SendAsync(string path, string text)
        {
            using var answer = await bench.SendAsync("POST", path, new JsonObject { ["calibration"] = text }.ToJsonString());
            return (answer.StatusCode, JsonNode.Parse(await answer.Content.ReadAsStringAsync(TestContext.Current.CancellationToken))!);
        }

        // What the service gives out as a file is what the command line writes.
        using var given = await bench.SendAsync("GET", $"/api/calibrations/{id}", null);
        Assert.Equal("application/json", given.Content.Headers.ContentType!.MediaType);
        var text = await given.Content.ReadAsStringAsync(TestContext.Current.CancellationToken);
        Assert.True(JsonNode.DeepEquals(JsonNode.Parse(exported), JsonNode.Parse(text)));

        await PostAsync(bench, "", Begin);
        await TakeAsync(bench, "drive-1");
        var (status, same) = await SendAsync("/api/calibrations/check", text);
        // The one called other was made at the same time and kept later.
        Assert.Equal((HttpStatusCode.OK, true, false), (status, (bool)same["kept"]!, (bool)same["wouldBeUsed"]!));
        document["id"] = "newer";
        document["madeUtc"] = "2126-03-14T09:26:53.000Z";
        document["validUntilUtc"] = "2126-09-10T09:26:53.000Z";
        var (_, newer) = await SendAsync("/api/calibrations/check", document.ToJsonString());
        Assert.Equal((false, true), ((bool)newer["kept"]!, (bool)newer["wouldBeUsed"]!));
        document["id"] = "older";
        document["madeUtc"] = "2024-03-14T09:26:53.000Z";
        document["validUntilUtc"] = "2024-09-10T09:26:53.000Z";
        var (_, older) = await SendAsync("/api/calibrations/check", document.ToJsonString());
        Assert.Equal((false, false, "stale"), ((bool)older["kept"]!, (bool)older["wouldBeUsed"]!, (string?)older["calibration"]!["state"]));
        using var list = await bench.SendAsync("GET", "/api/calibrations/older", null);
        Assert.Equal(HttpStatusCode.NotFound, list.StatusCode);
        Assert.Equal(HttpStatusCode.OK, (await SendAsync("/api/calibrations", document.ToJsonString())).Status);
        Assert.Equal("other", (string?)(await bench.GetAsync("/api/bench"))["rig"]!["calibration"]!["id"]);
        Assert.Equal("drive-2", (string?)(await bench.GetAsync("/api/calibration"))["procedure"]!["current"]);

        document["drive"]!["slope"] = 3;
        document["meter"]!["counts"] = -1;
        foreach (var path in new[] { "/api/calibrations", "/api/calibrations/check" })
        {
            var (bad, problem) = await SendAsync(path, document.ToJsonString());
            Assert.Equal(HttpStatusCode.UnprocessableEntity, bad);
            Assert.Equal(["/calibration/drive/slope", "/calibration/meter/counts"], problem["refusals"]!.AsArray().Select(r => (string)r!["path"]!).Order(StringComparer.Ordinal));
            var (_, torn) = await SendAsync(path, text[..400]);
            Assert.Equal("malformed-json", (string?)torn["refusals"]![0]!["code"]);
            Assert.Contains("line ", (string?)torn["refusals"]![0]!["asked"], StringComparison.Ordinal);
            var (_, taken) = await SendAsync(path, text.Replace("\"note\": \"first\"", "\"note\": \"another\"", StringComparison.Ordinal));
            Assert.Equal("calibration-id-taken", (string?)taken["refusals"]![0]!["code"]);
            using var halved = await bench.SendAsync("POST", path, """{ "calibration": "\ud800" }""");
            Assert.Equal(HttpStatusCode.UnprocessableEntity, halved.StatusCode);
        }
    }

    [Fact]
    public async Task Readings_are_kept_one_by_one_and_a_bad_one_loses_nothing()
    {
        await using var bench = await WholeAsync();
        await PostAsync(bench, "", Begin);
        await PostAsync(bench, "hold", """{ "step": "drive-1" }""");
        var after = await PostAsync(bench, "readings", """{ "step": "drive-1" }""");
        Assert.Equal("drive-2", (string?)after["procedure"]!["current"]);
        await PostAsync(bench, "hold", """{ "step": "drive-2" }""");
        var sign = await RefusedAsync(bench, "readings", """{ "step": "drive-2", "value": 11.2 }""");
        Assert.Equal("reading-sign", (string?)sign["code"]);
        Assert.Equal("nothing-held", (string?)(await RefusedAsync(bench, "readings", """{ "step": "drive-3", "value": -8.4 }"""))["code"]);
        // Still held: the same reading, taken right, is accepted without another hold.
        Assert.Equal("drive-2", (string?)(await bench.GetAsync("/api/calibration"))["procedure"]!["held"]);
        Assert.Equal("drive-3", (string?)(await PostAsync(bench, "readings", """{ "step": "drive-2" }"""))["procedure"]!["current"]);
        Assert.Equal("calibration-under-way", (string?)(await RefusedAsync(bench, "", Begin))["code"]);
        Assert.Equal("nothing-held", (string?)(await RefusedAsync(bench, "readings", """{ "step": "drive-3", "value": -8.4 }"""))["code"]);
        // The text of it outlives this process: it lies in the run store.
        using var gone = await bench.SendAsync("DELETE", "/api/calibration", null);
        Assert.Equal(HttpStatusCode.OK, gone.StatusCode);
        Assert.Equal("no-calibration-under-way", (string?)(await RefusedAsync(bench, "hold", """{ "step": "drive-3" }"""))["code"]);
    }

    [Fact]
    public async Task A_readings_file_goes_as_far_as_it_reaches_and_the_next_call_goes_on()
    {
        await using var bench = await WholeAsync();
        using var data = new TemporaryData();
        var file = Path.Combine(data.Path, "readings.json");
        var readings = $$"""{ "format": "calibration-readings/1", "tubeOut": true, "meter": {{Meter}}, "readings": { "drive-1": -14.0, "drive-2": -11.2 } }""";
        await File.WriteAllTextAsync(file, readings, TestContext.Current.CancellationToken);
        var first = await CliRun.OfAsync(bench.Directory, ["calibrate", "--readings", file]);
        Assert.Equal(0, first.ExitCode);
        Assert.Contains("Left at drive-3; 2 of", first.Error, StringComparison.Ordinal);
        await File.WriteAllTextAsync(file, readings.Replace("-11.2", "-11.2, \"drive-3\": 8.4", StringComparison.Ordinal), TestContext.Current.CancellationToken);
        var swapped = await CliRun.OfAsync(bench.Directory, ["calibrate", "--readings", file]);
        Assert.Equal(3, swapped.ExitCode);
        Assert.Contains("The sign is wrong", swapped.Error, StringComparison.Ordinal);
        await File.WriteAllTextAsync(file, readings.Replace("tubeOut", "tubeIn", StringComparison.Ordinal), TestContext.Current.CancellationToken);
        var unknown = await CliRun.OfAsync(bench.Directory, ["calibrate", "--readings", file]);
        Assert.Equal(2, unknown.ExitCode);
        Assert.Contains("tubeIn", unknown.Error, StringComparison.Ordinal);
    }

    [Fact]
    public async Task A_person_types_readings_and_may_leave_off()
    {
        await using var bench = await WholeAsync();
        var typed = "yes\nhand-held\nM-7\n0.05\n3\n\n60\n\n\n\n" + "abc\n-14.0\n11.2\n\n-11.2\nlater\n";
        var run = await CliRun.OfAsync(bench.Directory, ["calibrate"], input: typed);
        Assert.Equal(0, run.ExitCode);
        Assert.Contains("Tube out of the socket", run.Error, StringComparison.Ordinal);
        Assert.Contains("\"abc\" is no reading", run.Error, StringComparison.Ordinal);
        Assert.Contains("The sign is wrong", run.Error, StringComparison.Ordinal);
        Assert.Contains("Left at drive-3", run.Error, StringComparison.Ordinal);
    }

    [Fact]
    public async Task Positive_points_need_a_permit_and_can_be_left_out_when_it_ends()
    {
        await using var bench = await WholeAsync();
        var positive = $$"""{ "tubeOut": true, "meter": {{Meter}}, "positiveUpToVolts": 12 }""";
        Assert.Equal("positive-drive-without-permit", (string?)(await RefusedAsync(bench, "", positive))["code"]);
        using var permit = await bench.SendAsync("POST", "/api/bench/permit", """{ "ceilingVolts": 12, "durationSeconds": 600, "reason": "calibration" }""");
        Assert.Equal(HttpStatusCode.OK, permit.StatusCode);
        await PostAsync(bench, "", positive);
        for (var i = 1; i <= 6; i++) await TakeAsync(bench, $"drive-{i}");
        await TakeAsync(bench, "drive-positive-1");
        // The permit ends while a positive point is held: a trip, nothing read is lost.
        await PostAsync(bench, "hold", """{ "step": "drive-positive-2" }""");
        using var ended = await bench.SendAsync("DELETE", "/api/bench/permit", null);
        Assert.Equal("permit-ended", (string?)(await bench.GetAsync("/api/bench"))["trip"]!["cause"]);
        Assert.Equal("tripped", (string?)(await RefusedAsync(bench, "hold", """{ "step": "drive-positive-2" }"""))["code"]);
        using var acknowledged = await bench.SendAsync("POST", "/api/bench/acknowledge", null);
        Assert.Equal(HttpStatusCode.OK, acknowledged.StatusCode);
        Assert.Equal("positive-drive-without-permit", (string?)(await RefusedAsync(bench, "hold", """{ "step": "drive-positive-2" }"""))["code"]);
        var without = await PostAsync(bench, "leave-out-positive", null);
        Assert.Equal("grid-1", (string?)without["procedure"]!["current"]);
        Assert.Equal(6, (int)without["procedure"]!["done"]!);
    }

    [Fact]
    public async Task A_rig_that_trips_in_the_middle_keeps_what_was_read()
    {
        await using var bench = await WholeAsync();
        await PostAsync(bench, "", Begin);
        await TakeAsync(bench, "drive-1");
        await PostAsync(bench, "hold", """{ "step": "drive-2" }""");
        using var safe = await bench.SendAsync("POST", "/api/bench/safe", null);
        Assert.Equal(HttpStatusCode.OK, safe.StatusCode);
        Assert.Equal("tripped", (string?)(await RefusedAsync(bench, "hold", """{ "step": "drive-2" }"""))["code"]);
        using var acknowledged = await bench.SendAsync("POST", "/api/bench/acknowledge", null);
        Assert.Equal(HttpStatusCode.OK, acknowledged.StatusCode);
        Assert.Equal("drive-3", (string?)(await TakeAsync(bench, "drive-2"))["procedure"]!["current"]);
    }

    [Theory]
    [InlineData("""{ "tubeOut": false, "meter": METER }""", "/tubeOut")]
    [InlineData("""{ "tubeOut": true, "meter": METER, "socket": 9 }""", "/socket")]
    [InlineData("""{ "tubeOut": true, "meter": METER, "positiveUpToVolts": 59 }""", "/positiveUpToVolts")]
    [InlineData("""{ "tubeOut": true, "meter": METER, "fixture": { "plateRailVolts": 55 } }""", "/fixture/plateRailVolts")]
    [InlineData("""{ "tubeOut": true, "meter": METER, "fixture": { "plateResistorOhms": 0 } }""", "/fixture/plateResistorOhms")]
    [InlineData("""{ "tubeOut": true, "meter": { "name": "m", "serialNumber": "1", "percentOfReading": 0, "rangeVolts": 60, "countVolts": 0.001 } }""", "/meter/percentOfReading")]
    [InlineData("""{ "tubeOut": true, "meter": METER, "tubesOut": true }""", "/tubesOut")]
    [InlineData("""{ "tubeOut": true }""", "")]
    public async Task What_cannot_be_begun_with_is_refused_at_its_place(string body, string path)
    {
        await using var bench = await WholeAsync();
        using var answer = await bench.SendAsync("POST", "/api/calibration", body.Replace("METER", Meter, StringComparison.Ordinal));
        var problem = await TestBench.ProblemAsync(answer, HttpStatusCode.UnprocessableEntity);
        Assert.Contains(problem["refusals"]!.AsArray(), r => (string?)r!["path"] == path);
    }

    private static async Task<TestBench> WholeAsync()
    {
        var bench = await TestBench.StartWholeAsync();
        var runner = bench.Services.GetRequiredService<ISweepRunner>();
        await Eventually.HoldsAsync("the rig is connected", () => runner.State.Link == RigLinkState.Connected);
        return bench;
    }

    private static async Task<JsonNode> TakeAsync(TestBench bench, string step)
    {
        await PostAsync(bench, "hold", $$"""{ "step": "{{step}}" }""");
        return await PostAsync(bench, "readings", $$"""{ "step": "{{step}}" }""");
    }

    private static async Task<JsonNode> PostAsync(TestBench bench, string what, string? body)
    {
        using var answer = await bench.SendAsync("POST", $"/api/calibration/{what}".TrimEnd('/'), body);
        var text = await answer.Content.ReadAsStringAsync(TestContext.Current.CancellationToken);
        Assert.True(answer.IsSuccessStatusCode, $"{what} {body}: {text}");
        return JsonNode.Parse(text)!;
    }

    private static async Task<JsonNode> RefusedAsync(TestBench bench, string what, string body)
    {
        using var answer = await bench.SendAsync("POST", $"/api/calibration/{what}".TrimEnd('/'), body);
        Assert.True(answer.StatusCode is HttpStatusCode.Conflict or HttpStatusCode.UnprocessableEntity, $"{what} {body}: {answer.StatusCode}");
        var problem = await TestBench.ProblemAsync(answer, answer.StatusCode);
        return problem["refusals"]![0]!;
    }
}
