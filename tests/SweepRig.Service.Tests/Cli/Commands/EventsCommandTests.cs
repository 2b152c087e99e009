using System.Text.Json.Nodes;
using Microsoft.Extensions.Logging.Abstractions;
using SweepRig.Domain.Watching;
using SweepRig.Service.Tests.Cli.Support;
using SweepRig.Storage;

namespace SweepRig.Service.Tests.Cli.Commands;

public sealed class EventsCommandTests : IDisposable
{
    private readonly TemporaryData _data = new();

    public void Dispose() => _data.Dispose();

    [Fact]
    public async Task Without_events_it_says_so()
    {
        var run = await CliRun.OfAsync(_data.Path, ["events"]);
        Assert.Equal((0, $"Nothing has happened on {_data.Path} yet.\n"), (run.ExitCode, run.Output));
        Assert.False(File.Exists(_data.File(RunStore.FileName)));
    }

    [Fact]
    public async Task Each_event_says_when_how_much_it_matters_where_what_and_what_to_do()
    {
        await KeepAsync();
        var run = await CliRun.OfAsync(_data.Path, ["events"]);
        Assert.Equal(0, run.ExitCode);
        var lines = run.Output.Split('\n');
        Assert.Matches(@"^\d{4}-\d\d-\d\d \d\d:\d\d:\d\d  alarm    north, SKUA-014: Too much grid current \(grid current 6.2 mA, limit 5 mA\)\.$", lines[0]);
        Assert.Contains("    Lower the highest drive.", lines);
        Assert.Contains("2 warnings and alarms have not been seen", run.Output, StringComparison.Ordinal);
    }

    [Fact]
    public async Task What_is_listed_can_be_said_to_have_been_seen()
    {
        await KeepAsync();
        var first = JsonNode.Parse((await CliRun.OfAsync(_data.Path, ["events", "--unseen", "--seen", "--json"])).Output)!;
        Assert.Equal((3, 0), (first["events"]!.AsArray().Count, (int)first["unseen"]!));
        Assert.Equal("Nothing of that kind.\n", (await CliRun.OfAsync(_data.Path, ["events", "--unseen"])).Output);
    }

    [Theory]
    [InlineData("--since 24h --least warning", 2)]
    [InlineData("--since 90min", 1)]
    [InlineData("--since 3h", 2)]
    [InlineData("--kind rig-gone", 1)]
    [InlineData("--rig north --limit 1", 1)]
    [InlineData("--rig south", 0)]
    public async Task It_can_be_narrowed(string options, int events)
    {
        await KeepAsync();
        var run = await CliRun.OfAsync(_data.Path, ["events", "--json", .. options.Split(' ')]);
        Assert.Equal(events, JsonNode.Parse(run.Output)!["events"]!.AsArray().Count);
    }

    [Theory]
    [InlineData("--since yesterday", "allowed is a time before now")]
    [InlineData("--since 2999-01-01", "lies ahead")]
    [InlineData("--least grave", "note, warning, alarm")]
    [InlineData("--kind tea", "rig-gone")]
    [InlineData("--limit 0", "1 to 500 events")]
    public async Task What_cannot_be_listed_is_refused_in_one_line(string options, string told)
    {
        var run = await CliRun.OfAsync(_data.Path, ["events", .. options.Split(' ')]);
        Assert.Equal(2, run.ExitCode);
        Assert.Contains(told, string.Join(' ', run.ErrorLines.Select(l => l.Trim())), StringComparison.Ordinal);
    }

    private async Task KeepAsync()
    {
        var now = TimeProvider.System.GetUtcNow();
        await using var runs = await RunStore.OpenAsync(_data.Path, TimeProvider.System, NullLogger<RunStore>.Instance, TestContext.Current.CancellationToken);
        await new EventStore(runs).AddAsync(
            [
                BenchEvent.Of(now.AddDays(-2), "north", EventSeverity.Note, EventKind.RigBack, "The rig is back."),
                BenchEvent.Of(now.AddHours(-2), "north", EventSeverity.Warning, EventKind.RigGone, "The rig does not answer.", "Check its cable."),
                BenchEvent.Of(now.AddHours(-1), "north", EventSeverity.Alarm, EventKind.Trip, "Too much grid current (grid current 6.2 mA, limit 5 mA).", "Lower the highest drive.") with { Tube = "SKUA-014" },
            ],
            TestContext.Current.CancellationToken);
    }
}
