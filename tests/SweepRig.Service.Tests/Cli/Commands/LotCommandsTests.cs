using System.Text.Json.Nodes;
using SweepRig.Domain.Plans;
using SweepRig.Service.Tests.Cli.Support;
using SweepRig.Service.Tests.Support;
using SweepRig.Tubes.Catalogue;

namespace SweepRig.Service.Tests.Cli.Commands;

/// <summary>Five tubes of a lot: two pairs that are nearly alike and a weak one, and a sixth that nobody has swept.</summary>
public sealed class LotCommandsTests : IAsyncLifetime, IDisposable
{
    private static readonly double[] Perveances = [1, 1.3, 1.01, 1.31, 0.8];

    private readonly TemporaryData _data = new();

    public void Dispose() => _data.Dispose();

    public ValueTask DisposeAsync() => ValueTask.CompletedTask;

    public async ValueTask InitializeAsync()
    {
        await RunAsync("stock book Skua --type 6AU6 --count 6");
        for (var i = 0; i < Perveances.Length; i++)
        {
            await ModelledRun.StoreAsync(_data.Path, new ModelledRun(PlanExamples.GentlePentode)
            {
                Label = new($"SKUA-00{i + 1}", "6AU6"),
                Tube = ExampleTubes.Sound6AU6 with { Perveance = ExampleTubes.Sound6AU6.Perveance * Perveances[i] },
                Seed = i,
            });
        }
    }

    [Fact]
    public async Task Tubes_that_are_alike_are_paired_with_proof_and_the_odd_one_is_left()
    {
        var json = JsonNode.Parse((await RunAsync("match Skua --json")).Output)!;
        Assert.Equal(
            [("SKUA-001", "SKUA-003"), ("SKUA-002", "SKUA-004")],
            json["pairs"]!.AsArray().Select(p => ((string?)p!["first"], (string?)p["second"])).Order());
        Assert.Equal(("SKUA-005", true), ((string?)json["leftOver"], (bool)json["provenBest"]!));
        Assert.Equal("SKUA-006", (string?)Assert.Single(json["notMeasured"]!.AsArray()));

        var people = (await RunAsync("match Skua --by pentode.vol=0.5")).Output;
        Assert.Contains("No other pairing has a smaller sum (", people, StringComparison.Ordinal);
        Assert.Contains("Left over: SKUA-005.", people, StringComparison.Ordinal);
    }

    [Fact]
    public async Task Tubes_are_matched_by_whole_curves_by_the_worst_pair_and_in_groups()
    {
        var curves = JsonNode.Parse((await RunAsync("match Skua --curve pentode --worst --json")).Output)!;
        Assert.Equal(
            [("SKUA-001", "SKUA-003"), ("SKUA-002", "SKUA-004")],
            curves["pairs"]!.AsArray().Select(p => ((string?)p!["first"], (string?)p["second"])).Order());
        Assert.True((bool)curves["worstProven"]!);
        Assert.Contains("In no other pairing is the pair least alike nearer than", (await RunAsync("match Skua --worst")).Output, StringComparison.Ordinal);

        var groups = JsonNode.Parse((await RunAsync("match Skua --size 3 --by pentode.vol=0.1 --json")).Output)!;
        Assert.Equal((1, true), (groups["groups"]!.AsArray().Count, (bool)groups["provenBest"]!));
        Assert.Equal(2, groups["leftOver"]!.AsArray().Count);
        Assert.Contains("No other grouping has a smaller sum", (await RunAsync("match Skua --size 3")).Output, StringComparison.Ordinal);
    }

    [Fact]
    public async Task A_summary_shows_spread_histogram_and_what_is_missing()
    {
        var summary = await RunAsync("stock summary Skua --of pentode.vol,pentode.switching-drive --scatter");
        Assert.Equal(0, summary.ExitCode);
        Assert.StartsWith("Skua: 6 tubes", summary.Output, StringComparison.Ordinal);
        foreach (var words in new[] { "median", "█", "Without it: SKUA-006.", "pentode.switching-drive / V over pentode.vol / V" }) Assert.Contains(words, summary.Output, StringComparison.Ordinal);
    }

    [Fact]
    public async Task Constants_of_the_fitted_tube_can_be_graded_and_matched_by()
    {
        var summary = JsonNode.Parse((await RunAsync("stock summary Skua --of fit.perveance --json")).Output)!["quantities"]![0]!;
        Assert.Equal(5, (int)summary["measured"]!);
        var (lowest, highest) = ((double)summary["spread"]!["lowest"]!, (double)summary["spread"]!["highest"]!);
        // Made with 0.8 to 1.31 of the type's perveance; its contact potential makes up for some of it in a single sweep.
        Assert.InRange(highest / lowest, 1.3, 2.1);
    }

    [Fact]
    public async Task Sweeps_in_different_circuits_are_remarked_on()
    {
        var plan = PlanExamples.GentlePentode.Plan;
        await ModelledRun.StoreAsync(_data.Path, new ModelledRun(plan with { Connection = plan.Connection with { PlateResistor = new(47_000) } }) { Label = new("SKUA-006", "6AU6") });
        Assert.Contains("compare SKUA-006 with care", (await RunAsync("match Skua")).Output, StringComparison.Ordinal);
    }

    [Fact]
    public async Task Grades_are_shown_first_and_given_when_told_to()
    {
        var file = await GradesAsync("""[{"name": "first", "limits": [{"quantity": "pentode.vol", "unit": "V", "highest": 4}]}, {"name": "second", "limits": [{"quantity": "pentode.vol", "unit": "V", "highest": 20}]}]""");
        var shown = await RunAsync($"grade Skua {file}");
        Assert.Contains("Nothing is changed", shown.Output, StringComparison.Ordinal);
        Assert.Equal("new", (string?)JsonNode.Parse((await RunAsync("stock show SKUA-005 --json")).Output)!["state"]);

        var given = JsonNode.Parse((await RunAsync($"grade Skua {file} --apply --json")).Output)!;
        Assert.True((bool)given["applied"]!);
        foreach (var tube in given["tubes"]!.AsArray().Take(5))
        {
            var kept = JsonNode.Parse((await RunAsync($"stock show {tube!["tube"]} --json")).Output)!;
            Assert.Equal(("graded", (string?)tube["grade"]), ((string?)kept["state"], (string?)kept["grade"]));
        }
        var sixth = given["tubes"]![5]!;
        Assert.Equal((null, true), ((string?)sixth["grade"], (bool)sixth["undecided"]!));
        Assert.Contains("not measured", (string?)sixth["reasons"]![0], StringComparison.Ordinal);
        Assert.Equal(6, given["counts"]!.AsArray().Sum(c => (int)c!["tubes"]!));
        Assert.Contains("Guard band: 1 expanded uncertainties", shown.Output, StringComparison.Ordinal);
        Assert.Equal(1, (int)given["yields"]![0]!["notMeasured"]!);
    }

    [Theory]
    [InlineData("""[{"name": "first", "limits": [{"quantity": "pentode.vl", "unit": "V", "highest": 4}]}]""", "Did you mean \"pentode.vol\"?")]
    [InlineData("""[{"name": "first", "limits": [{"quantity": "pentode.vol", "unit": "V"}]}]""", "neither a lowest nor a highest")]
    [InlineData("""[{"name": "first", "limits": []}]""", "No limit stands here")]
    [InlineData("[]", "No grade stands here")]
    [InlineData("""[{"name": "first", "limits": [{"quantity": "pentode.vol", "unit": "A", "highest": 4}]}]""", "V")]
    [InlineData("""[{"name": "first", "limits": [{"quantity": "pentode.vol", "unit": "V", "lowest": 4, "highest": 3}]}]""", "the lowest must be below")]
    [InlineData("""[{"name": "a", "limits": [{"quantity": "pentode.vol", "unit": "V", "lowest": 4}]}, {"name": "A", "limits": [{"quantity": "pentode.vol", "unit": "V", "lowest": 4}]}]""", "each name may stand once")]
    public async Task Bad_grades_are_refused_with_what_to_do(string grades, string says)
    {
        var run = await RunAsync($"grade Skua {await GradesAsync(grades)}");
        Assert.Equal(2, run.ExitCode);
        Assert.Contains(says, run.Error, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("match Petrel", "the stock has none of that name")]
    [InlineData("match Skua --by triode.vol", "Sweep or screen more of them for it")]
    [InlineData("match Skua --by pentode.vool", "Did you mean pentode.vol?")]
    [InlineData("match Skua --by pentode.vol=0", "a number above 0 is needed, in V")]
    [InlineData("match Skua --by pentode.vol --curve pentode", "Leave out by or curve")]
    [InlineData("match Skua --curve tetrode", "pentode or triode is needed")]
    [InlineData("match Skua --curve triode", "Sweep them in that connection first")]
    [InlineData("match Skua --size 9", "--size 9: allowed is")]
    [InlineData("match Skua --size 3 --worst", "it is found for pairs only")]
    [InlineData("match Skua --size 6", "6 or more are needed")]
    [InlineData("match Gull", "the stock has none of that name")]
    [InlineData("stock summary Skua --of pentode.vol --scatter", "2 are needed")]
    [InlineData("stock summary Skua --of pentode.vol=2", "a word alone is needed here")]
    [InlineData("stock summary Skua --of vol", "there is none of that name")]
    [InlineData("grade Skua missing.json", "there is no such file")]
    public async Task What_cannot_be_matched_says_what_to_do(string command, string says)
    {
        var run = await RunAsync(command);
        Assert.Equal(2, run.ExitCode);
        Assert.Contains(says, run.Error, StringComparison.Ordinal);
    }

    private async Task<string> GradesAsync(string grades)
    {
        var file = Path.Combine(_data.Path, "grades.json");
        await File.WriteAllTextAsync(file, $$"""{"format": "grades/1", "grades": {{grades}}}""", TestContext.Current.CancellationToken);
        return file;
    }

    private Task<CliRun> RunAsync(string command) => CliRun.OfAsync(_data.Path, command.Split(' '));
}
