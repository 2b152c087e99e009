using Microsoft.Extensions.Logging.Abstractions;
using SweepRig.Domain.Plans;
using SweepRig.Service.Fits;
using SweepRig.Service.Stock;
using SweepRig.Service.Tests.Cli.Support;
using SweepRig.Service.Tests.Support;
using SweepRig.Storage;
using SweepRig.Tubes.Catalogue;

namespace SweepRig.Service.Tests.Stock;

public sealed class FollowedDriftTests
{
    [Fact]
    public async Task Of_many_sweeps_the_first_and_the_newest_tell_what_the_whole_chart_tells()
    {
        var cancel = TestContext.Current.CancellationToken;
        var begin = new DateTimeOffset(2026, 3, 14, 21, 0, 0, TimeSpan.Zero);
        using var data = new TemporaryData();
        using var workbench = new Workbench();
        await using var runs = await RunStore.OpenAsync(data.Path, TimeProvider.System, NullLogger<RunStore>.Instance, cancel);
        // More than are looked at from either end; what happened in between has passed.
        double[] currents = [1, .. Enumerable.Repeat(0.3, 20), 0.8];
        var newest = default(ModelledRun)!;
        foreach (var (n, current) in currents.Index())
        {
            newest = new ModelledRun(PlanExamples.GentlePentode)
            {
                StartedUtc = begin.AddMinutes(n), Label = new("SKUA-001", "6AU6", "Skua"), Seed = 40 + n, Tube = ExampleTubes.Sound6AU6 with { Perveance = ExampleTubes.Sound6AU6.Perveance * current },
            };
            await newest.StoreAsync(runs);
        }
        var shelf = new FigureShelf(workbench);
        var found = await FollowedDrift.ReadAsync(runs, shelf, newest.Header, cancel);
        Assert.Equal(FollowedLevel.All.Select(l => l.Level), found.Select(f => f.Level.Level));
        foreach (var one in found)
        {
            var chart = (await TubeDrift.ReadAsync(runs, shelf, "SKUA-001", one.Level.Of(newest.Header), TubeDrift.UsualWeight, null, cancel)).Value!;
            Assert.Equal((chart.Quantity.Word, chart.Changed, chart.Says[0]), (one.Word, one.HasChanged, one.Says));
        }
        Assert.Contains(found, f => f.HasChanged);
    }
}
