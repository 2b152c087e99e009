using System.Text.Json.Nodes;
using Microsoft.Extensions.Logging.Abstractions;
using SweepRig.Domain.Plans;
using SweepRig.Domain.Runs;
using SweepRig.Service.Tests.Cli.Support;
using SweepRig.Service.Tests.Support;
using SweepRig.Storage;

namespace SweepRig.Service.Tests.Cli.Commands;

public sealed class FitCommandTests : IDisposable
{
    private readonly TemporaryData _data = new();

    public void Dispose() => _data.Dispose();

    [Fact]
    public async Task Without_runs_it_teaches_the_first_step()
    {
        var run = await CliRun.OfAsync(_data.Path, ["fit", "latest"]);
        Assert.Equal(2, run.ExitCode);
        Assert.Contains("No runs in", run.Error, StringComparison.Ordinal);
    }

    [Fact]
    public async Task Two_points_give_words_and_no_number()
    {
        await RecordAsync(Examples.Header(), points: 2);
        var run = await CliRun.OfAsync(_data.Path, ["fit", "latest"]);
        Assert.Equal(2, run.ExitCode);
        Assert.StartsWith("No fit: ", run.Output, StringComparison.Ordinal);
        Assert.DoesNotContain("Perveance", run.Output, StringComparison.Ordinal);

        var json = JsonNode.Parse((await CliRun.OfAsync(_data.Path, ["fit", "latest", "--json"])).Output)!;
        Assert.Equal("refused", (string?)json["status"]);
        Assert.Null(json["scale"]);
    }

    [Fact]
    public async Task A_law_that_is_not_known_or_has_no_run_of_its_own_says_what_to_give()
    {
        await ModelledRun.StoreAsync(_data.Path, new ModelledRun(PlanExamples.GentlePentode.Plan with { Points = 71 }));
        var unknown = await CliRun.OfAsync(_data.Path, ["fit", "latest", "--model", "cubic"]);
        Assert.Equal(2, unknown.ExitCode);
        Assert.Contains("--model cubic: allowed is one of tube, three-halves, free-exponent, koren-triode, koren-pentode, laws.", unknown.Error, StringComparison.Ordinal);

        var other = await CliRun.OfAsync(_data.Path, ["fit", "latest", "--model", "three-halves"]);
        Assert.Equal(2, other.ExitCode);
        Assert.Contains("Sweep the tube in triode connection.", other.Output, StringComparison.Ordinal);
        var json = JsonNode.Parse((await CliRun.OfAsync(_data.Path, ["fit", "latest", "--model", "three-halves", "--json"])).Output)!;
        Assert.Equal("wrong-connection", (string?)json["laws"]![0]!["findings"]![0]!["code"]);
        Assert.Null(json["laws"]![0]!["outputRmsVolts"]);
    }

    [Fact]
    public async Task Runs_of_two_tubes_are_not_fitted_together()
    {
        var (one, other) = (Examples.Header(), Examples.Header() with { Tube = new("SKUA-087", "6AU6") });
        await RecordAsync(one, points: 20);
        await RecordAsync(other, points: 20);
        var run = await CliRun.OfAsync(_data.Path, ["fit", one.Id, other.Id]);
        Assert.Equal(2, run.ExitCode);
        Assert.Contains("SKUA-087", run.Error, StringComparison.Ordinal);
        Assert.Contains("Choose runs of the same tube.", run.Error, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("fit")]
    [InlineData("export", "--spice", "-")]
    [InlineData("ask")]
    public async Task Ctrl_C_ends_a_long_fit_with_one_line_and_no_number(string command, params string[] options)
    {
        // As many points as a fit takes: it would run for long.
        ModelledRun[] runs = [.. Enumerable.Range(0, 4).Select(i => new ModelledRun(PlanExamples.FarPositivePentode.Plan with { Points = 2_400 }) { Seed = i })];
        await ModelledRun.StoreAsync(_data.Path, runs);
        using var interrupt = new CancellationTokenSource(TimeSpan.FromSeconds(0.5));
        var run = await CliRun.OfAsync(_data.Path, [command, .. runs.Select(r => r.Id), .. options], "", interrupt.Token);
        Assert.Equal((1, ""), (run.ExitCode, run.Output));
        Assert.Equal("sweeprig: Ended by Ctrl+C before the work was done.", Assert.Single(run.ErrorLines));
    }

    private async Task RecordAsync(RunHeader header, int points)
    {
        var cancellation = TestContext.Current.CancellationToken;
        await using var store = await RunStore.OpenAsync(_data.Path, TimeProvider.System, NullLogger<RunStore>.Instance, cancellation);
        await using var recording = await store.BeginAsync(header, cancellation);
        await recording.AppendAsync([Examples.Block(0, points)], cancellation);
        await recording.EndAsync(RunState.Complete, header.StartedUtc.AddSeconds(4), cancellation);
    }
}
