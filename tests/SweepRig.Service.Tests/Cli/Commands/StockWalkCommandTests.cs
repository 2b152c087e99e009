using System.Text.Json.Nodes;
using SweepRig.Domain.Plans;
using SweepRig.Service.Tests.Cli.Support;
using SweepRig.Service.Tests.Support;
using SweepRig.Storage.Tests.Support;

namespace SweepRig.Service.Tests.Cli.Commands;

/// <summary>From a crate of sixty tubes to the drift of one of them, by commands alone, on the simulated rig.</summary>
[Collection(RealTime.Name)]
[System.Runtime.Versioning.UnsupportedOSPlatform("windows")]
public sealed class StockWalkCommandTests(PostgresServer server) : IDisposable
{
    private readonly TemporaryData _data = new();

    public void Dispose() => _data.Dispose();

    [Fact]
    public async Task Sixty_tubes_are_booked_in_screened_graded_paired_reported_moved_and_one_is_measured_again()
    {
        var cancellation = TestContext.Current.CancellationToken;
        await GoodAsync("stock", "book", "Skua", "--type", "6AU6", "--count", "60", "--place", "drawer 3");
        // 41 points say enough of a lot, and take a sixth of a second.
        var plan = _data.File("plan.json");
        await File.WriteAllTextAsync(plan, PlanDocument.Write(PlanExamples.GentlePentode.Plan with { Points = 41 }), cancellation);
        string[] round = ["round", "--plan", plan, "--practice-hands", "0", "--heater-speed", "60"];
        await GoodAsync([.. round, "--lot", "Skua"]);
        Assert.Equal(60, (await JsonAsync("stock", "list", "--state", "screened")).AsArray().Count);

        var grades = _data.File("grades.json");
        await File.WriteAllTextAsync(grades, """{"format": "grades/1", "grades": [{"name": "first", "limits": [{"quantity": "pentode.vol", "unit": "V", "highest": 12}]}]}""", cancellation);
        var graded = await JsonAsync("grade", "Skua", grades, "--apply");
        Assert.True((bool)graded["applied"]!);
        var first = graded["tubes"]!.AsArray().Count(t => (string?)t!["grade"] == "first" && !(bool)t["undecided"]!);
        Assert.InRange(first, 1, 59);
        Assert.Equal(first, (await JsonAsync("stock", "list", "--state", "graded")).AsArray().Count);

        var pairs = await JsonAsync("match", "Skua");
        Assert.True((bool)pairs["provenBest"]!);
        Assert.InRange(pairs["pairs"]!.AsArray().Count, 20, 30);

        foreach (var (paper, command) in new (string, string[])[] { ("labels.pdf", ["stock", "labels", "Skua"]), ("lot.pdf", ["report", "lot", "Skua"]) })
        {
            await GoodAsync([.. command, "--to", _data.File(paper)]);
            Assert.Equal("%PDF"u8.ToArray(), (await File.ReadAllBytesAsync(_data.File(paper), cancellation))[..4]);
        }

        var connection = _data.File("connection");
        await File.WriteAllTextAsync(connection, await server.NewDatabaseAsync() + "\n", cancellation);
        File.SetUnixFileMode(connection, UnixFileMode.UserRead | UnixFileMode.UserWrite);
        await GoodAsync("store", "move", "--to", "postgres", "--connection", connection);
        string[] shared = ["--store", "postgres", "--connection", connection];
        Assert.Equal(60, (await JsonAsync(["stock", "list", .. shared])).AsArray().Count);

        await GoodAsync([.. round, "SKUA-014", .. shared]);
        var drift = await JsonAsync(["drift", "SKUA-014", .. shared]);
        Assert.Equal(2, drift["points"]!.AsArray().Count);
        Assert.NotNull(drift["individuals"]);
    }

    private async Task<string> GoodAsync(params string[] arguments)
    {
        var run = await CliRun.OfAsync(_data.Path, arguments);
        Assert.True(run.ExitCode == 0, $"sweeprig {string.Join(' ', arguments)} ended with {run.ExitCode}:\n{run.Error}{run.Output}");
        return run.Output;
    }

    private async Task<JsonNode> JsonAsync(params string[] arguments) => JsonNode.Parse(await GoodAsync([.. arguments, "--json"]))!;
}
