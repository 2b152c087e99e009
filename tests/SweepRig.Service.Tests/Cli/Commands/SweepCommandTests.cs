using System.Text.Json.Nodes;
using SweepRig.Service.Tests.Cli.Support;
using SweepRig.Service.Tests.Support;

namespace SweepRig.Service.Tests.Cli.Commands;

/// <summary>Sweeps on the simulated rig: in the command's own process, and through a service.</summary>
[Collection(RealTime.Name)]
public sealed class SweepCommandTests : IDisposable
{
    private static readonly string[] Tube = ["--tube", "SKUA-014", "--type", "6AU6", "--lot", "Skua"];
    private static readonly string[] Warm = ["--heater-speed", "1000"];
    private static readonly string[] Permit = ["--permit-ceiling", "24", "--permit-minutes", "2", "--permit-reason", "fold-back"];

    private readonly TemporaryData _data = new();

    public void Dispose() => _data.Dispose();

    [Fact]
    public async Task Without_a_service_the_command_sweeps_by_itself()
    {
        var run = await CliRun.OfAsync(_data.Path, ["sweep", "gentle-pentode", .. Tube, .. Warm, "--json"]);

        Assert.Equal((0, ""), (run.ExitCode, run.Error));
        var result = JsonNode.Parse(run.Output)!;
        Assert.Equal("complete", (string?)result["run"]!["state"]);
        Assert.Equal(141, (int)result["run"]!["samples"]!);
        Assert.Equal(28, (double)result["levels"]!["curves"]![0]!["highestOutput"]!["value"]!, 0.3);
        var shown = await CliRun.OfAsync(_data.Path, ["runs", "show", (string)result["run"]!["id"]!, "--json"]);
        Assert.Equal(result["levels"]!.ToJsonString(), JsonNode.Parse(shown.Output)!["levels"]!.ToJsonString());
    }

    [Fact]
    public async Task A_tube_of_the_stock_brings_type_and_lot_and_is_found_again_by_its_number()
    {
        await CliRun.OfAsync(_data.Path, ["stock", "book", "Skua", "--type", "6AU6", "--count", "2"]);
        var run = await CliRun.OfAsync(_data.Path, ["sweep", "gentle-pentode", "--tube", " skua-002 ", .. Warm, "--json"]);
        Assert.Equal((0, ""), (run.ExitCode, run.Error));
        Assert.Equal("""{"label":"SKUA-002","type":"6AU6","lot":"Skua"}""", JsonNode.Parse(run.Output)!["run"]!["tube"]!.ToJsonString());
        var shown = (await CliRun.OfAsync(_data.Path, ["stock", "show", "skua-002"])).Output;
        // A sweep is no screening: the tube is as new as before.
        Assert.Contains("\nnew\n", shown.ReplaceLineEndings("\n"), StringComparison.Ordinal);
        Assert.Contains("complete", shown, StringComparison.Ordinal);

        var wrong = await CliRun.OfAsync(_data.Path, ["sweep", "gentle-pentode", "--tube", "SKUA-002/2", "--type", "EF91", "--lot", "Petrel", .. Warm]);
        Assert.Equal(3, wrong.ExitCode);
        Assert.Contains("The stock says that SKUA-002 is a 6AU6, and EF91 was said", wrong.ErrorLines[0], StringComparison.Ordinal);
        Assert.Contains("The stock has SKUA-002 in lot Skua, and lot Petrel was said", wrong.ErrorLines[1], StringComparison.Ordinal);
        Assert.Contains("type EF91 has one system", wrong.ErrorLines[2], StringComparison.Ordinal);
    }

    [Fact]
    public async Task A_redirected_sweep_writes_no_progress_and_no_colour()
    {
        var run = await CliRun.OfAsync(_data.Path, ["sweep", "gentle-pentode", .. Tube, .. Warm]);
        Assert.Equal((0, ""), (run.ExitCode, run.Error));
        Assert.DoesNotContain('\u001b', run.Output);
        Assert.StartsWith("SKUA-014, 6AU6, pentode connection  run ", run.Output, StringComparison.Ordinal);
        Assert.Contains("switching drive", run.Output, StringComparison.Ordinal);
    }

    [Fact]
    public async Task Positive_drive_without_a_permit_is_refused_with_every_reason()
    {
        var plan = """
            {"format":"sweep-plan/1","name":"too far","drive":{"startVolts":-20,"stopVolts":30,"points":51,"direction":"up"},"dwellMicroseconds":2000,"averaging":{"conversions":4},
             "connection":{"kind":"pentode","plateRailVolts":28,"biasRailVolts":-20,"heaterVolts":6.3,"plateResistorOhms":10000,"screenResistorOhms":100,"gridStopperOhms":4700}}
            """;

        var run = await CliRun.OfAsync(_data.Path, ["sweep", "-", .. Tube, .. Warm, "--json"], plan);

        Assert.Equal(3, run.ExitCode);
        var codes = JsonNode.Parse(run.Output)!["refusals"]!.AsArray().Select(r => (string)r!["code"]!).ToArray();
        Assert.Equal(["drive-above-ceiling", "drive-below-floor", "positive-drive-without-permit"], codes.Order());
        Assert.Equal(codes.Length, run.ErrorLines.Length);
        Assert.Contains(run.ErrorLines, l => l.Contains("- /drive/stopVolts: The sweep goes up to 30 V; the ceiling of this rig is 26 V.", StringComparison.Ordinal));
        var list = await CliRun.OfAsync(_data.Path, ["runs", "list", "--json"]);
        Assert.Empty(JsonNode.Parse(list.Output)!["runs"]!.AsArray());
    }

    [Fact]
    public async Task A_permit_of_the_command_is_on_record_and_ends_with_it()
    {
        await using var bench = await TestBench.StartWholeAsync();

        var run = await CliRun.OfAsync(bench.Directory, ["sweep", "far-positive-triode", .. Tube, .. Permit, "--json"]);

        Assert.Equal((0, ""), (run.ExitCode, run.Error));
        var result = JsonNode.Parse(run.Output)!;
        Assert.Equal("fold-back", (string?)result["run"]!["permit"]!["reason"]);
        Assert.Equal(24, (double)result["run"]!["permit"]!["ceilingVolts"]!);
        Assert.Null((await bench.GetAsync("/api/bench"))["permit"]);
        Assert.Equal((string?)result["run"]!["id"], (string?)(await bench.GetAsync("/api/runs"))["runs"]![0]!["id"]);
    }

    [Fact]
    public async Task A_ceiling_above_the_rigs_own_is_refused()
    {
        var run = await CliRun.OfAsync(_data.Path, ["sweep", "gentle-pentode", .. Tube, .. Warm, "--permit-ceiling", "40", "--permit-minutes", "2", "--permit-reason", "too far"]);
        Assert.Equal(3, run.ExitCode);
        Assert.Contains("40 V", Assert.Single(run.ErrorLines), StringComparison.Ordinal);
        Assert.Contains("26 V", run.Error, StringComparison.Ordinal);
    }

    [Fact]
    public async Task A_rig_cannot_be_named_where_a_service_has_it()
    {
        await using var bench = await TestBench.StartWholeAsync();
        var run = await CliRun.OfAsync(bench.Directory, ["sweep", "gentle-pentode", .. Tube, "--port", "/dev/ttyUSB0"]);
        Assert.Equal(2, run.ExitCode);
        Assert.Contains($"--port cannot be given: the service at {bench.Url} (process {Environment.ProcessId}) has the rig.", Assert.Single(run.ErrorLines), StringComparison.Ordinal);
    }

    [Fact]
    public async Task Ctrl_C_stops_the_sweep_and_keeps_what_it_has()
    {
        await using var bench = await TestBench.StartWholeAsync();
        using var interrupt = new CancellationTokenSource();
        var sweeping = CliRun.OfAsync(bench.Directory, ["sweep", "-", .. Tube, "--json"], LongPlan, interrupt.Token);
        await UntilSamplesAsync(bench);

        await interrupt.CancelAsync();
        var run = await sweeping;

        Assert.Equal(1, run.ExitCode);
        var result = JsonNode.Parse(run.Output)!["run"]!;
        Assert.Equal("stopped", (string?)result["state"]);
        Assert.InRange((int)result["samples"]!, 1, 1_999);
        Assert.Contains($"Stopped before its end; its {result["samples"]} samples are kept as {result["id"]}.", Assert.Single(run.ErrorLines), StringComparison.Ordinal);
        Assert.Null((await bench.GetAsync("/api/bench"))["trip"]);
        // The rig reports ten times a second.
        await UntilAsync(bench, state => !(bool)state["plateRailOn"]!);
    }

    [Fact]
    public async Task A_trip_is_told_with_cause_and_remedy()
    {
        await using var bench = await TestBench.StartWholeAsync();
        var sweeping = CliRun.OfAsync(bench.Directory, ["sweep", "-", .. Tube], LongPlan);
        await UntilSamplesAsync(bench);

        var safe = await CliRun.OfAsync(bench.Directory, ["safe", "--reason", "smell of hot resistor"]);
        var run = await sweeping;

        Assert.Equal((0, ""), (safe.ExitCode, safe.Error));
        Assert.Equal(3, run.ExitCode);
        Assert.Contains("acknowledge", run.ErrorLines[0], StringComparison.OrdinalIgnoreCase);
        Assert.Contains("The run ended with the trip; its ", run.ErrorLines[1], StringComparison.Ordinal);
        await UntilAsync(bench, state => (bool?)state["trip"]?["causeGone"] == true);
        var acknowledged = await CliRun.OfAsync(bench.Directory, ["acknowledge"]);
        Assert.Equal((0, ""), (acknowledged.ExitCode, acknowledged.Error));
    }

    [Fact]
    public async Task All_faults_of_a_plan_are_told_with_their_paths()
    {
        var run = await CliRun.OfAsync(_data.Path, ["sweep", "-", .. Tube], """{"format":"sweep-plan/1","nmae":"x","drive":{"startVolts":1,"stopVolts":0,"points":1,"direction":"up"}}""");
        Assert.Equal(2, run.ExitCode);
        Assert.True(run.ErrorLines.Length > 3, run.Error);
        Assert.Contains(run.ErrorLines, l => l.Contains("- /drive/points: ", StringComparison.Ordinal));
        Assert.False(Directory.Exists(_data.File("runs.db")));
    }

    private static string LongPlan { get; } = """
        {"format":"sweep-plan/1","name":"long","drive":{"startVolts":-14,"stopVolts":0,"points":1000,"direction":"upAndDown"},"dwellMicroseconds":20000,"averaging":{"conversions":1},
         "connection":{"kind":"pentode","plateRailVolts":28,"biasRailVolts":-14,"heaterVolts":6.3,"plateResistorOhms":10000,"screenResistorOhms":100,"gridStopperOhms":4700}}
        """;

    private static Task UntilSamplesAsync(TestBench bench) => UntilAsync(bench, state => (long?)state["run"]?["pointsDone"] > 0);

    private static async Task UntilAsync(TestBench bench, Func<JsonNode, bool> condition)
    {
        using var deadline = CancellationTokenSource.CreateLinkedTokenSource(TestContext.Current.CancellationToken);
        deadline.CancelAfter(TimeSpan.FromSeconds(30));
        while (!condition(await bench.GetAsync("/api/bench"))) await Task.Delay(TimeSpan.FromMilliseconds(20), TimeProvider.System, deadline.Token);
    }
}
