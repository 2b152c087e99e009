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
        Assert.Contains("No other pairing has a smaller sum: proven.", people, StringComparison.Ordinal);
        Assert.Contains("Left over: SKUA-005.", people, StringComparison.Ordinal);
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
    }

    [Theory]
    [InlineData("""[{"name": "first", "limits": [{"quantity": "pentode.vl", "unit": "V", "highest": 4}]}]""", "Did you mean \"pentode.vol\"?")]
    [InlineData("""[{"name": "first", "limits": [{"quantity": "pentode.vol", "unit": "V"}]}]""", "neither a lowest nor a highest")]
    [InlineData("""[{"name": "first", "limits": []}]""", "No limit stands here")]
    [InlineData("[]", "No grade stands here")]
    [InlineData("""[{"name": "a", "limits": [{"quantity": "pentode.vol", "unit": "V", "lowest": 4}]}, {"name": "A", "limits": [{"quantity": "pentode.vol", "unit": "V", "lowest": 4}]}]""", "each name may stand once")]
    public async Task Bad_grades_are_refused_with_what_to_do(string grades, string says)
    {
        var run = await RunAsync($"grade Skua {await GradesAsync(grades)}");
        Assert.Equal(2, run.ExitCode);
        Assert.Contains(says, run.Error, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("match Petrel", "the stock has none of that name")]
    [InlineData("match Skua --by triode.vol", "Sweep them in that connection first")]
    [InlineData("match Skua --by pentode.vool", "Did you mean pentode.vol?")]
    [InlineData("match Skua --by pentode.vol=0", "Give a number above 0")]
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
