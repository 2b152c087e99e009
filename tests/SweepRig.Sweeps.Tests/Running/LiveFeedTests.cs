using SweepRig.Domain.Runs;
using SweepRig.Sweeps.Running;
using SweepRig.Sweeps.Tests.Support;

namespace SweepRig.Sweeps.Tests.Running;

public sealed class LiveFeedTests
{
    private static readonly BenchState Bench = new TestBench().Runner.State;

    private static readonly SampleBlock Empty = new()
    {
        Pass = 0, FrameIndex = 0, PointIndex = [], SampledAtTicks = [], DriveCode = [], Flags = [], AveragedCount = [], Spread = [], Codes = [[], [], [], [], []],
    };

    private static LiveUpdate.Block Block(long sequence) => new("run", sequence, Empty, new([], [], [], [], [], [], [], []), DateTimeOffset.UnixEpoch);

    [Fact]
    public async Task Of_waiting_states_a_viewer_gets_the_newest_once()
    {
        var feed = new LiveFeed();
        using var viewer = feed.Subscribe();
        for (var i = 0; i < 10_000; i++) feed.Publish(new LiveUpdate.State(Bench with { Socket = i }));
        Assert.Equal(9_999, Assert.IsType<LiveUpdate.State>(Assert.Single(await DrainAsync(viewer))).Bench.Socket);
    }

    [Fact]
    public async Task A_stalled_viewer_skips_blocks_with_a_count_and_others_get_all()
    {
        var feed = new LiveFeed();
        using var stalled = feed.Subscribe(4);
        using var quick = feed.Subscribe(1000);
        for (var i = 0; i < 100; i++) feed.Publish(Block(i));
        Assert.Equal([0, 1, 2, 3], (await DrainAsync(stalled)).Cast<LiveUpdate.Block>().Select(b => b.Sequence));
        Assert.Equal(96, stalled.Skipped);
        Assert.Equal(100, (await DrainAsync(quick)).Count);
        Assert.Equal(0, quick.Skipped);
    }

    [Fact]
    public async Task A_viewer_that_misses_starts_or_ends_is_told_once_and_then_served_again()
    {
        var feed = new LiveFeed();
        using var viewer = feed.Subscribe();
        for (var i = 0; i < LiveViewer.RunUpdateCapacity + 500; i++) feed.Publish(new LiveUpdate.RunEnded($"{i}", RunState.Complete));
        var seen = await DrainAsync(viewer);
        Assert.Equal(LiveViewer.RunUpdateCapacity + 1, seen.Count);
        Assert.IsType<LiveUpdate.Missed>(seen[^1]);
        feed.Publish(new LiveUpdate.RunEnded("after", RunState.Complete));
        Assert.Equal("after", Assert.IsType<LiveUpdate.RunEnded>(Assert.Single(await DrainAsync(viewer))).RunId);
    }

    [Fact]
    public async Task A_viewer_that_left_gets_nothing_and_is_forgotten()
    {
        var feed = new LiveFeed();
        var viewer = feed.Subscribe();
        Assert.Equal(1, feed.Viewers);
        viewer.Dispose();
        feed.Publish(Block(1));
        Assert.Equal(0, feed.Viewers);
        Assert.Empty(await DrainAsync(viewer));
    }

    /// <summary>All that waits now; the feed never ends by itself.</summary>
    private static async Task<List<LiveUpdate>> DrainAsync(LiveViewer viewer)
    {
        var seen = new List<LiveUpdate>();
        using var stop = new CancellationTokenSource();
        await using var updates = viewer.ReadAllAsync(stop.Token).GetAsyncEnumerator(stop.Token);
        while (true)
        {
            var next = updates.MoveNextAsync();
            if (!next.IsCompleted)
            {
                await stop.CancelAsync();
                await Assert.ThrowsAnyAsync<OperationCanceledException>(async () => await next);
                return seen;
            }
            if (!await next) return seen;
            seen.Add(updates.Current);
        }
    }
}
