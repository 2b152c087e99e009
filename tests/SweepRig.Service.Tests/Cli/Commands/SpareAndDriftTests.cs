using System.Text.Json.Nodes;
using SweepRig.Domain.Plans;
using SweepRig.Service.Tests.Cli.Support;
using SweepRig.Service.Tests.Support;
using SweepRig.Tubes.Catalogue;

namespace SweepRig.Service.Tests.Cli.Commands;

/// <summary>Spares among the tubes of two lots, and one tube measured five times, the last two after it has weakened. Made once for all tests.</summary>
public sealed class SpareLots : IAsyncLifetime
{
    private readonly TemporaryData _data = new();

    public string Directory => _data.Path;

    public async ValueTask InitializeAsync()
    {
        await RunAsync("stock book Skua --type 6AU6 --count 5 --place drawer");
        await RunAsync("stock book Petrel --type 6AU6 --count 1");
        await RunAsync("stock book Tern --type EF91 --count 1");
        await ModelledRun.StoreAsync(
            Directory, Run("SKUA-001", 1, 0), Run("SKUA-001", 1, 1), Run("SKUA-001", 1, 2), Run("SKUA-001", 0.8, 3), Run("SKUA-001", 0.8, 4), Run("SKUA-002", 0.8, 5), Run("SKUA-003", 1.6, 6),
            Run("SKUA-004", 0.8, 7), Run("PETREL-001", 0.81, 8), Run("TERN-001", 0.8, 9));
        await RunAsync("stock use SKUA-004 clock");
    }

    public ValueTask DisposeAsync()
    {
        _data.Dispose();
        return ValueTask.CompletedTask;
    }

    public Task<CliRun> RunAsync(string command) => CliRun.OfAsync(Directory, command.Split(' '));

    private static ModelledRun Run(string tube, double perveance, int day) => new(PlanExamples.GentlePentode)
    {
        Label = new(tube, "6AU6"), Tube = ExampleTubes.Sound6AU6 with { Perveance = ExampleTubes.Sound6AU6.Perveance * perveance }, Seed = day, StartedUtc = Examples.Started.AddDays(day),
    };
}

public sealed class SpareAndDriftTests(SpareLots lots) : IClassFixture<SpareLots>
{
    [Fact]
    public async Task Only_free_tubes_of_the_type_are_spares_and_the_nearest_comes_first()
    {
        var json = JsonNode.Parse((await lots.RunAsync("spare skua-001 --json --keep pentode.vol=1")).Output)!;
        var spares = json["spares"]!.AsArray();
        Assert.Equal(["PETREL-001", "SKUA-002"], spares.Take(2).Select(s => (string?)s!["tube"]).Order());
        Assert.Equal("SKUA-003", (string?)spares[2]!["tube"]);
        Assert.Equal(3, spares.Count);
        Assert.Equal(["SKUA-005"], json["notMeasured"]!.AsArray().Select(t => (string?)t));
        Assert.True((double)spares[0]!["probably"]! > 0.9 && (double)spares[2]!["probably"]! < 0.01);
        Assert.Equal("reject", (string?)spares[2]!["decision"]);
        Assert.Contains("pentode.vol less that of SKUA-001", (string?)spares[2]!["says"]![0], StringComparison.Ordinal);

        var people = (await lots.RunAsync("spare skua-001 --keep pentode.vol=1 --lot skua")).Output;
        Assert.StartsWith("Spares for SKUA-001, 6AU6", people, StringComparison.Ordinal);
        Assert.DoesNotContain("PETREL", people, StringComparison.Ordinal);
        Assert.Contains("Not measured in all of this: SKUA-005.", people, StringComparison.Ordinal);
    }

    [Fact]
    public async Task Limits_of_the_circuit_need_nothing_of_the_tube_that_is_replaced()
    {
        var json = JsonNode.Parse((await lots.RunAsync("spare SKUA-005 --json --keep pentode.switching-gain=..-1,pentode.voh=20..")).Output)!;
        Assert.Equal(["accept"], json["spares"]!.AsArray().Select(s => (string?)s!["decision"]).Distinct());
        Assert.Equal(4, json["spares"]!.AsArray().Count);
    }

    [Fact]
    public async Task A_tube_that_has_weakened_is_flagged_by_level_and_charts()
    {
        var json = JsonNode.Parse((await lots.RunAsync("drift skua-001 --of pentode.vol --json")).Output)!;
        var points = json["points"]!.AsArray();
        Assert.Equal(5, points.Count);
        Assert.Equal([false, false, false, true, true], points.Select(p => p!["flags"]!.AsArray().Any(f => (string?)f == "change")));
        Assert.True((bool)json["changed"]!);
        Assert.Contains("times what the two measurements can be wrong together", (string?)json["says"]![0], StringComparison.Ordinal);

        var people = (await lots.RunAsync("drift SKUA-001 --of pentode.vol")).Output;
        Assert.Contains("moving range", people, StringComparison.Ordinal);
        Assert.Contains("made from 5 measurements and a first guess only", people, StringComparison.Ordinal);

        var since = JsonNode.Parse((await lots.RunAsync("drift skua-001 --of pentode.vol --baseline 3 --json")).Output)!;
        Assert.Equal(3, (int)since["baseline"]!);
        // A tube that has lost a fifth of its perveance is far beyond what three readings of the same tube scatter.
        Assert.Equal([false, false, false, true, true], since["points"]!.AsArray().Select(p => p!["flags"]!.AsArray().Any(f => (string?)f == "value")));
    }

    [Fact]
    public async Task One_measurement_is_said_to_be_too_few()
    {
        var run = await lots.RunAsync("drift SKUA-002");
        Assert.Equal(0, run.ExitCode);
        Assert.Contains("Measured once: nothing can be said of a drift yet.", run.Output, StringComparison.Ordinal);
    }

    [Fact]
    public async Task A_sweep_in_another_circuit_is_left_out_and_said()
    {
        var plan = PlanExamples.GentlePentode.Plan;
        await ModelledRun.StoreAsync(lots.Directory, new ModelledRun(plan with { Connection = plan.Connection with { PlateResistor = new(47_000) } }) { Label = new("SKUA-001", "6AU6"), StartedUtc = Examples.Started.AddDays(-9) });
        Assert.Contains("Left out: 1 with another circuit: 28 V, 47 kΩ.", (await lots.RunAsync("drift SKUA-001")).Output, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("spare SKUA-099", "the stock has none of that number")]
    [InlineData("spare SKUA-005", "Sweep or screen SKUA-005 for it")]
    [InlineData("spare SKUA-001 --keep pentode.vool", "Did you mean pentode.vol?")]
    [InlineData("spare SKUA-001 --keep pentode.vol=3..1", "Turn them round")]
    [InlineData("spare SKUA-001 --keep pentode.vol=-1", "a number above 0 is needed, in V")]
    [InlineData("spare SKUA-001 --keep pentode.vol=..", "one number or two are needed")]
    [InlineData("spare SKUA-001 --keep pentode.vol,pentode.vol=2", "each quantity may stand once")]
    [InlineData("spare SKUA-001 --keep ,", "1 to 20 are needed")]
    [InlineData("spare SKUA-001 --lot Gull", "the stock has none of that name")]
    [InlineData("match Petrle", "Did you mean Petrel?")]
    [InlineData("spare SKUA-001 --most 0", "--most 0: allowed is")]
    [InlineData("match Petrel", "1 free tube of Petrel has pentode.switching-drive, pentode.vol, pentode.cut-off-drive with an uncertainty; 2 or more are needed")]
    [InlineData("match Petrel --curve triode", "0 free tubes of Petrel have a curve in triode connection")]
    [InlineData("drift SKUA-099", "the stock has none of that number")]
    [InlineData("drift SKUA-005", "it was never measured")]
    [InlineData("drift SKUA-001 --of triode.vol", "Sweep it in that connection")]
    [InlineData("drift SKUA-001 --of health.noise", "Screen it: sweeprig screen --tube SKUA-001.")]
    [InlineData("drift SKUA-001 --of fit.perveance", "Choose a level")]
    [InlineData("drift SKUA-001 --of pentode.vool", "Did you mean pentode.vol?")]
    [InlineData("drift SKUA-001 --weight 0", "--weight 0: allowed is")]
    [InlineData("drift SKUA-001 --baseline 1", "--baseline 1: allowed is")]
    [InlineData("drift SKUA-001 --weight 1.1", "--weight 1.1: allowed is")]
    public async Task What_cannot_be_answered_says_what_to_do(string command, string says)
    {
        var run = await lots.RunAsync(command);
        Assert.Equal(2, run.ExitCode);
        Assert.Contains(says, run.Error, StringComparison.Ordinal);
    }
}
