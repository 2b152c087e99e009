using Microsoft.Extensions.DependencyInjection;
using SweepRig.Domain.Plans;
using SweepRig.Domain.Runs;
using SweepRig.Domain.Tubes;
using SweepRig.Service.Stations;
using SweepRig.Service.Tests.Support;
using SweepRig.Storage;
using SweepRig.Sweeps.Running;

namespace SweepRig.Service.Tests.Stations;

/// <summary>Rigs of one service beside one another, in real time, as each rig's lease runs by it.</summary>
[Collection(RealTime.Name)]
public sealed class IsolationTests
{
    private static readonly SweepPlan Plan = PlanExamples.All.First(e => e.Name == "gentle-pentode").Plan;

    [Fact]
    public async Task A_rig_that_hangs_one_that_is_dead_and_one_that_floods_touch_no_other()
    {
        await using var bench = await TestBench.StartWholeAsync(null, services => services.AddSingleton<IPortObserver>(new BadPorts()), "good", "hangs", "dead", "floods", "fine");
        var stations = bench.Services.GetRequiredService<StationList>();
        foreach (var name in new[] { "good", "fine" }) await SweepWholeAsync(bench, stations.Find(name).Value!);
        foreach (var name in new[] { "hangs", "dead", "floods" }) Assert.Null(stations.Find(name).Value!.Runner.State.Identity);
        var safe = await bench.Services.GetRequiredService<SafeForAll>().MakeSafeAsync("the end", TestContext.Current.CancellationToken);
        Assert.Empty(safe.Refusals);
        Assert.All(new[] { "good", "fine" }, name => Assert.NotNull(stations.Find(name).Value!.Runner.State.Trip));
    }

    [Fact]
    public async Task Eight_rigs_sweep_at_once_and_nothing_is_lost()
    {
        string[] names = [.. Enumerable.Range(0, RigChoices.Most).Select(StationName.Usual)];
        await using var bench = await TestBench.StartWholeAsync(null, names);
        var stations = bench.Services.GetRequiredService<StationList>();
        await Task.WhenAll(stations.Select(s => SweepWholeAsync(bench, s)));
        Assert.Equal(names.Length, stations.Select(s => s.Runner.State.Identity!.SerialNumber).Distinct().Count());
    }

    /// <summary>Sweeps the tube of a rig; all points must be on record, without a gap, a trip or a lost frame.</summary>
    private static async Task SweepWholeAsync(TestBench bench, Station station)
    {
        var cancellation = TestContext.Current.CancellationToken;
        await Eventually.HoldsAsync($"{station.Name} to be connected", () => station.Runner.State.Link == RigLinkState.Connected);
        var started = await station.Runner.StartAsync(new SweepRequest(Plan, new Tube("SKUA-014", "6AU6"), 0), cancellation);
        Assert.Empty(started.Refusals);
        Assert.Equal(RunState.Complete, await station.Runner.WaitAsync(started.Value!.Id, cancellation).WaitAsync(TimeSpan.FromSeconds(60), cancellation));
        var run = (await bench.Services.GetRequiredService<RunStore>().FindAsync(started.Value.Id, cancellation))!;
        Assert.Equal(started.Value.Passes.Sum(p => p.Points), run.Samples);
        Assert.Empty(run.Gaps);
        Assert.Empty(run.Trips);
        Assert.Equal((0L, 0L), (station.Runner.State.Counters.Damaged, station.Runner.State.Counters.Lost));
    }
}
