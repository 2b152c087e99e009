using System.Text.Json.Nodes;
using SweepRig.Domain.Plans;
using SweepRig.Domain.Tubes;
using SweepRig.Service.Tests.Cli.Support;
using SweepRig.Service.Tests.Support;
using SweepRig.Tubes.Catalogue;

namespace SweepRig.Service.Tests.Cli.Commands;

/// <summary>Runs that say little or lie: each is answered in words with what to do, and never with a number that looks sure.</summary>
public sealed class BadRunTests : IDisposable
{
    private static readonly SweepPlan Far = PlanExamples.FarPositivePentode.Plan, Gentle = PlanExamples.GentlePentode.Plan;

    private readonly TemporaryData _data = new();

    public void Dispose() => _data.Dispose();

    [Fact]
    public async Task What_lies_in_a_gap_is_not_told_and_the_rest_is()
    {
        // From -2 V to +1.4 V nothing was read: the whole switching of a 6AU6 at 28 V.
        var levels = await LevelsAsync(new ModelledRun(Far with { Direction = SweepDirection.Up }) { IsLost = i => i is > 60 and < 78 });
        foreach (var name in (string[])["switchingDrive", "unityGainLow", "unityGainHigh", "cutOffDrive", "transitionWidth"])
            AssertAbsent(levels[name]!, "where points are missing: measure them again");
        Assert.NotNull(levels["lowestOutput"]!["value"]);

        var fit = await FitAsync();
        Assert.Contains(fit["findings"]!.AsArray(), f => (string?)f!["code"] == "gaps" && ((string)f["says"]!).Contains("17 of 191 points have no reading", StringComparison.Ordinal));
        Assert.Null(Constant(fit, "gridOffset")["figure"]!["value"]);
    }

    [Fact]
    public async Task Readings_at_the_end_of_a_converter_are_bounds_and_give_no_levels()
    {
        // Channels of the rig end at 40.96 V: the rail itself is beyond.
        var levels = await LevelsAsync(new ModelledRun(Far with { Connection = Far.Connection with { PlateRail = new(45) } }));
        AssertAbsent(levels["highestOutput"]!, "lower the rail or the drive");
        AssertAbsent(levels["switchingDrive"]!, "end of its converter's range");
        await RefusedAsync("clipped", "Lower the rail or the drive until no channel is at its end.");
    }

    [Fact]
    public async Task A_tube_that_does_not_conduct_has_no_switching_point_and_no_constants()
    {
        var levels = await LevelsAsync(new ModelledRun(Gentle) { Tube = ExampleTubes.Sound6AU6 with { Perveance = 1e-9 } });
        AssertAbsent(levels["switchingDrive"]!, "does not fall with rising drive");
        AssertAbsent(levels["cutOffDrive"]!, "the plate current stays below 10 µA");
        AssertAbsent(levels["saturatedResistance"]!, "the tube does not conduct");
        var says = await RefusedAsync("does-not-conduct", "Check heater, socket and wiring");
        Assert.Matches(@"stays within 0\.0\d? ?% of the rail", says);
    }

    [Theory]
    // A sweep that begins too late, and a tube with 10 kΩ from plate to cathode.
    [InlineData(-0.8, 0)]
    [InlineData(-14, 1e-4)]
    public async Task A_tube_that_never_cuts_off_is_called_so(double from, double leak)
    {
        var levels = await LevelsAsync(new ModelledRun(Gentle with { Start = new(from) }) { Tube = ExampleTubes.Sound6AU6 with { PlateCathodeLeakSiemens = leak } });
        AssertAbsent(levels["cutOffDrive"]!, "Sweep from a lower drive");
        AssertAbsent(levels["cutOffDriveOfFull"]!, "Sweep from a lower drive");
        var fit = await FitAsync();
        Assert.Equal("doubtful", (string?)fit["status"]);
        Assert.StartsWith("There are numbers, but do not rely on them", (string?)fit["says"], StringComparison.Ordinal);
        Assert.Contains(fit["findings"]!.AsArray(), f => (string?)f!["code"] == "never-cuts-off" && ((string)f["remedy"]!).Contains("leakage", StringComparison.Ordinal));
        // The file that goes to other programs bears the doubt too.
        var export = await CliRun.OfAsync(_data.Path, ["export", "latest", "--spice", "-"]);
        Assert.Contains("The fit is doubtful", export.Output, StringComparison.Ordinal);
        Assert.Contains("cut-off was not reached", export.Error, StringComparison.Ordinal);
    }

    [Fact]
    public async Task A_single_repeat_says_nothing_of_repeatability()
    {
        await ModelledRun.StoreAsync(_data.Path, new ModelledRun(Gentle));
        var run = await AnalyseAsync();
        foreach (var name in (string[])["output", "switchingDrive", "lowestOutput"])
            AssertAbsent(run["repeatability"]![name]!, "sweep with two repeats or more");
        Assert.Contains((await FitAsync())["findings"]!.AsArray(), f => (string?)f!["code"] == "single-pass" && ((string)f["remedy"]!).StartsWith("Sweep up and down", StringComparison.Ordinal));
    }

    [Fact]
    public async Task Two_points_are_no_curve()
    {
        var levels = await LevelsAsync(new ModelledRun(Gentle with { Points = 2 }));
        Assert.All(levels.AsObject().Where(l => l.Value is JsonObject o && o.ContainsKey("absentBecause")), l => AssertAbsent(l.Value!, "only 2 usable points; at least 5 are needed, better 64 or more"));
        await RefusedAsync("too-few-points", "Sweep again with 64 points or more");
    }

    [Theory]
    [InlineData(ConnectionKind.Triode, ConnectionKind.Pentode, "recorded in triode connection, but the screen stays near the rail", "Record the run as pentode, or rewire the socket")]
    [InlineData(ConnectionKind.Pentode, ConnectionKind.Triode, "recorded in pentode connection, but screen and plate move as one", "Record the run as triode, or rewire the socket")]
    public async Task A_connection_recorded_wrongly_is_detected(ConnectionKind recorded, ConnectionKind wired, string says, string remedy)
    {
        await ModelledRun.StoreAsync(_data.Path, new ModelledRun(Far with { Connection = Far.Connection with { Kind = recorded } }) { Wired = Far.Connection with { Kind = wired } });
        Assert.Contains(says, await RefusedAsync("wrong-connection", remedy), StringComparison.Ordinal);
    }

    [Fact]
    public async Task Runs_that_contradict_each_other_are_called_so()
    {
        // Two tubes under one label: the second has two thirds of the perveance and a quarter of the emission.
        var other = ExampleTubes.Sound6AU6 with { Perveance = 2e-3, Emission = 0.03 };
        ModelledRun[] runs = [new(Far), new(PlanExamples.FarPositiveTriode) { Seed = 2, Tube = other }];
        await ModelledRun.StoreAsync(_data.Path, runs);
        string[] ids = [.. runs.Select(r => r.Id)];
        var run = await CliRun.OfAsync(_data.Path, ["fit", .. ids, "--json"]);
        var fit = JsonNode.Parse(run.Output)!;
        Assert.NotEqual("good", (string?)fit["status"]);
        var finding = Assert.Single(fit["findings"]!.AsArray(), f => (string?)f!["code"] == "contradictory-runs")!;
        Assert.Contains("sweep all of them again in one go", (string?)finding["remedy"], StringComparison.Ordinal);
        Assert.DoesNotContain("may be used", (string?)fit["says"], StringComparison.Ordinal);
    }

    private static void AssertAbsent(JsonNode figure, string because)
    {
        Assert.Null(figure["value"]);
        Assert.Contains(because, (string?)figure["absentBecause"], StringComparison.Ordinal);
    }

    private static JsonNode Constant(JsonNode fit, string name) => fit["constants"]!.AsArray().Single(c => (string?)c!["name"] == name)!;

    /// <summary>Levels of the first pass.</summary>
    private async Task<JsonNode> LevelsAsync(ModelledRun run)
    {
        await ModelledRun.StoreAsync(_data.Path, run);
        return (await AnalyseAsync())["curves"]![0]!;
    }

    private async Task<JsonNode> AnalyseAsync() => JsonNode.Parse((await CliRun.OfAsync(_data.Path, ["analyse", "latest", "--json"])).Output)!["runs"]![0]!;

    private async Task<JsonNode> FitAsync() => JsonNode.Parse((await CliRun.OfAsync(_data.Path, ["fit", "latest", "--json"])).Output)!;

    /// <summary>Fit and export end with 2, say why and what to do, and give no number.</summary>
    /// <returns>What is said.</returns>
    private async Task<string> RefusedAsync(string code, string remedy)
    {
        var fit = await FitAsync();
        Assert.Equal("refused", (string?)fit["status"]);
        Assert.Empty(fit["constants"]!.AsArray());
        var finding = fit["findings"]!.AsArray().Single(f => (string?)f!["code"] == code)!;
        Assert.Contains(remedy, (string?)finding["remedy"], StringComparison.Ordinal);
        var people = await CliRun.OfAsync(_data.Path, ["fit", "latest"]);
        Assert.Equal(2, people.ExitCode);
        Assert.StartsWith("No fit: ", people.Output, StringComparison.Ordinal);
        var export = await CliRun.OfAsync(_data.Path, ["export", "latest", "--spice", "-"]);
        Assert.Equal((2, ""), (export.ExitCode, export.Output));
        Assert.Contains(remedy, export.Error, StringComparison.Ordinal);
        return (string)finding["says"]!;
    }
}
