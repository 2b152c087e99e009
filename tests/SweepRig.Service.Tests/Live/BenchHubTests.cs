using System.Text.Json;
using SweepRig.Domain.Interlocks;
using SweepRig.Domain.Runs;
using SweepRig.Rigs.Calibration;
using SweepRig.Service.Contract;
using SweepRig.Service.Tests.Support;
using SweepRig.Sweeps.Running;

namespace SweepRig.Service.Tests.Live;

public sealed class BenchHubTests
{
    private const int SamplesPerBlock = 7;

    [Theory]
    [InlineData(false)]
    [InlineData(true)]
    public async Task A_viewer_sees_the_bench_at_once_and_then_a_run_from_start_to_end(bool json)
    {
        await using var bench = await TestBench.StartAsync();
        await using var viewer = await Viewer.ConnectAsync(bench, json);
        var greeting = await viewer.NextAsync<BenchView>();
        Assert.Equal("connecting", greeting.Link);
        Assert.Null(greeting.SupplyVolts);

        var header = Examples.Header();
        bench.Runner.Feed.Publish(new LiveUpdate.RunStarted(header));
        bench.Runner.Feed.Publish(Block(header, 0));
        bench.Runner.Feed.Publish(new LiveUpdate.PassEnded(header.Id, header.Passes[0]));
        bench.Runner.Feed.Publish(new LiveUpdate.RunEnded(header.Id, RunState.Complete));

        var started = await viewer.NextAsync<RunStartedView>();
        Assert.Equal(header.Id, started.RunId);
        Assert.Equal("SKUA-014", started.Tube.Label);
        Assert.Equal("pentode", started.Connection);
        Assert.Equal(new PassView(0, "up", 141, 0, null), Assert.Single(started.Passes));

        var block = await viewer.NextAsync<LiveBlockView>();
        Assert.Equal(Enumerable.Range(0, SamplesPerBlock), block.PointIndex);
        // Drive: code 171 of 4095 over -16 to +32 V. Plate: 2800 of 4095 over 0 to 40.96 V, 10 codes down a point. Supply: 2800.
        Assert.Equal(-16 + 171 * 48.0 / 4095, block.Drive[0], 9);
        Assert.Equal(2800 * 40.96 / 4095, block.Plate[0], 9);
        Assert.Equal(2740 * 40.96 / 4095, block.Plate[6], 9);
        // 60 codes of 10.0024 mV over 10 kilohm.
        Assert.Equal(60 * 40.96 / 4095 / 10_000, block.PlateCurrent[6], 12);
        Assert.Equal((-16 + 171 * 48.0 / 4095 - (-20.48 + 2000 * 40.96 / 4095)) / 4_700, block.GridCurrent[0], 12);
        Assert.Equal(Examples.Started.ToUnixTimeMilliseconds(), block.NewestSampleUnixMs!.Value, 3);
        Assert.Equal(0, block.SkippedBlocks);

        Assert.Equal(0, (await viewer.NextAsync<PassEndedView>()).Pass.Index);
        Assert.Equal("complete", (await viewer.NextAsync<RunEndedView>()).State);
    }

    [Fact]
    public async Task Blocks_reach_a_viewer_once_each_and_in_order_however_they_are_joined()
    {
        await using var bench = await TestBench.StartAsync();
        await using var viewer = await Viewer.ConnectAsync(bench);
        await viewer.NextAsync<BenchView>();
        var header = Examples.Header();
        bench.Runner.Feed.Publish(new LiveUpdate.RunStarted(header));
        for (var i = 0; i < 200; i++) bench.Runner.Feed.Publish(Block(header, i));
        await viewer.NextAsync<RunStartedView>();
        var messages = await viewer.BlocksAsync(200);
        Assert.Equal(Enumerable.Range(0, 200 * SamplesPerBlock), messages.SelectMany(m => m.PointIndex));
        var next = 0L;
        foreach (var message in messages)
        {
            Assert.Equal(next, message.Sequence);
            Assert.Equal(message.Blocks * SamplesPerBlock, message.Plate.Length);
            next += message.Blocks;
        }
    }

    [Fact]
    public async Task A_viewer_who_joins_late_is_told_of_the_run_under_way_from_the_record()
    {
        await using var bench = await TestBench.StartAsync();
        var header = Examples.Header();
        await bench.RecordAsync(header);
        bench.Runner.State = bench.Runner.State with { Run = new(header.Id, RunPhase.Sweeping, 0, 1, 70, 141, TimeSpan.FromSeconds(3)) };
        await using var viewer = await Viewer.ConnectAsync(bench);
        Assert.Equal(70, (await viewer.NextAsync<BenchView>()).Run!.PointsDone);
        Assert.Equal(header.Id, (await viewer.NextAsync<RunStartedView>()).RunId);
        // The feed tells of the same start once more when it comes between joining and greeting; it is not passed on twice.
        bench.Runner.Feed.Publish(new LiveUpdate.RunStarted(header));
        bench.Runner.Feed.Publish(Block(header, 10));
        Assert.Equal(10, (await viewer.NextAsync<LiveBlockView>()).Sequence);
    }

    [Fact]
    public async Task A_stalled_viewer_skips_with_the_count_shown_and_slows_nobody()
    {
        await using var bench = await TestBench.StartAsync();
        using var stalled = await StalledViewer.ConnectAsync(bench);
        await using var viewer = await Viewer.ConnectAsync(bench);
        await viewer.NextAsync<BenchView>();
        var header = Examples.Header();
        bench.Runner.Feed.Publish(new LiveUpdate.RunStarted(header));
        await viewer.NextAsync<RunStartedView>();

        // 64 blocks at a time, each batch awaited by the viewer who reads: several megabytes, far more than sockets and buffers of the other hold.
        const int Batches = 400;
        var seen = 0L;
        for (var batch = 0; batch < Batches; batch++)
        {
            for (var i = 0; i < 64; i++) bench.Runner.Feed.Publish(Block(header, batch * 64 + i));
            foreach (var message in await viewer.BlocksAsync(64))
            {
                Assert.Equal(seen, message.Sequence);
                Assert.Equal(0, message.SkippedBlocks);
                seen += message.Blocks;
            }
        }
        bench.Runner.Feed.Publish(new LiveUpdate.RunEnded(header.Id, RunState.Complete));
        Assert.Equal("complete", (await viewer.NextAsync<RunEndedView>()).State);

        // Now it reads again: it is told how much it missed, and of the end, which is never skipped.
        var text = await stalled.ReadUntilAsync("\"RunEnded\"");
        var blocks = text.Split('\u001e').Where(r => r.Contains("\"BlockArrived\"", StringComparison.Ordinal))
            .Select(r => JsonDocument.Parse(r).RootElement.GetProperty("arguments")[0]).ToList();
        var received = blocks.Sum(b => b.GetProperty("blocks").GetInt64());
        var skipped = blocks[^1].GetProperty("skippedBlocks").GetInt64();
        Assert.True(skipped > 0, $"received {received}, skipped {skipped}");
        Assert.Equal(Batches * 64, received + skipped);
    }

    [Fact]
    public async Task A_trip_reaches_a_viewer_with_cause_and_remedy()
    {
        await using var bench = await TestBench.StartAsync();
        await using var viewer = await Viewer.ConnectAsync(bench);
        await viewer.NextAsync<BenchView>();
        var trip = new Trip(TripCause.GridCurrent, ByRig: true, "grid current 8.4 mA", "8 mA", Examples.Started, null);
        bench.Runner.Feed.Publish(new LiveUpdate.State(bench.Runner.State with { Trip = trip }));
        var shown = (await viewer.NextAsync<BenchView>()).Trip!;
        Assert.Equal("grid-current", shown.Cause);
        Assert.Equal(TripGuide.For(TripCause.GridCurrent).Remedy, shown.Remedy);
        Assert.Equal("grid current 8.4 mA", shown.Measured);
        Assert.Equal("2026-03-14T09:26:53.589Z", shown.OccurredUtc);
        Assert.False(shown.CauseGone);
    }

    [Fact]
    public async Task A_bench_at_rest_is_heard_of_well_within_what_the_page_takes_for_lost()
    {
        await using var bench = await TestBench.StartAsync();
        using var viewer = await StalledViewer.ConnectAsync(bench);

        // Type 6 is a ping (HubProtocol.md in the ASP.NET Core sources); the page gives up after 6 s of silence.
        await viewer.ReadUntilAsync("{\"type\":6}", TimeSpan.FromSeconds(6));
    }

    [Fact]
    public async Task A_viewer_that_left_is_forgotten()
    {
        await using var bench = await TestBench.StartAsync();
        // The service itself looks on, too.
        var own = bench.Runner.Feed.Viewers;
        var viewer = await Viewer.ConnectAsync(bench);
        await viewer.NextAsync<BenchView>();
        Assert.Equal(own + 1, bench.Runner.Feed.Viewers);
        await viewer.DisposeAsync();
        await Eventually.HoldsAsync("the feed has no viewer left", () => bench.Runner.Feed.Viewers == own);
    }

    private static LiveUpdate.Block Block(RunHeader header, int number)
    {
        var samples = Examples.Block(number * SamplesPerBlock, SamplesPerBlock, frame: number);
        return new(header.Id, number, samples, Calibrator.For(header).Convert(samples), Examples.Started);
    }
}
