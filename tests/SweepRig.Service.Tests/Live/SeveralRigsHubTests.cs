using SweepRig.Domain.Interlocks;
using SweepRig.Domain.Runs;
using SweepRig.Service.Contract;
using SweepRig.Service.Tests.Support;
using SweepRig.Sweeps.Running;

namespace SweepRig.Service.Tests.Live;

public sealed class SeveralRigsHubTests
{
    [Theory]
    [InlineData(null, 0)]
    [InlineData("right", 1)]
    public async Task A_viewer_sees_the_runs_of_the_rig_that_it_chose_alone(string? rig, int chosen)
    {
        await using var bench = await TestBench.StartAsync(["left", "right"]);
        await using var viewer = await Viewer.ConnectAsync(bench, rig: rig);
        await viewer.GreetedAsync();
        var header = Examples.Header();
        bench.Runners[1 - chosen].Feed.Publish(new LiveUpdate.RunEnded("another", RunState.Tripped));
        bench.Runners[chosen].Feed.Publish(new LiveUpdate.RunEnded(header.Id, RunState.Complete));
        var messages = await viewer.UntilAsync<RunEndedView>(_ => true);
        Assert.Equal(header.Id, Assert.IsType<RunEndedView>(messages[^1]).RunId);
    }

    [Fact]
    public async Task A_trip_on_a_rig_that_is_not_shown_is_told_to_every_viewer()
    {
        await using var bench = await TestBench.StartAsync(["left", "right"]);
        await using var viewer = await Viewer.ConnectAsync(bench, rig: "left");
        await viewer.UntilAsync<RigListView>(l => l.Rigs is [{ State: "connecting" }, { State: "connecting" }]);
        var right = bench.Runners[1];
        right.State = right.State with { Trip = new Trip(TripCause.GridCurrent, true, "31 mA", "30 mA", DateTimeOffset.UnixEpoch, null) };
        right.Feed.Publish(new LiveUpdate.State(right.State));
        var messages = await viewer.UntilAsync<RigListView>(l => l.Rigs[1].State == "tripped");
        Assert.Equal("connecting", Assert.IsType<RigListView>(messages[^1]).Rigs[0].State);
    }

    [Fact]
    public async Task Of_one_rig_nothing_is_told_twice()
    {
        await using var bench = await TestBench.StartAsync();
        await using var viewer = await Viewer.ConnectAsync(bench);
        await viewer.GreetedAsync();
        bench.Runner.State = bench.Runner.State with { Link = RigLinkState.Lost };
        bench.Runner.Feed.Publish(new LiveUpdate.State(bench.Runner.State));
        bench.Runner.Feed.Publish(new LiveUpdate.RunEnded("7", RunState.Complete));
        Assert.DoesNotContain(await viewer.UntilAsync<RunEndedView>(_ => true), m => m is RigListView);
    }

    [Fact]
    public async Task A_viewer_of_a_rig_that_is_not_there_is_told_which_are()
    {
        await using var bench = await TestBench.StartAsync(["left", "right"]);
        await using var viewer = await Viewer.ConnectAsync(bench, rig: "middle");
        Assert.Contains("left, right", (await viewer.ClosedAsync())!.Message, StringComparison.Ordinal);
    }
}
