using Microsoft.Extensions.DependencyInjection;
using SweepRig.Service.Calibrations;
using SweepRig.Service.Rounds;
using SweepRig.Service.Stations;
using SweepRig.Service.Tests.Support;
using SweepRig.Sweeps.Running;

namespace SweepRig.Service.Tests.Stations;

public sealed class StationListTests
{
    [Fact]
    public async Task One_rig_is_the_first_station_and_what_names_no_rig_means_it()
    {
        await using var bench = await TestBench.StartAsync();
        var stations = bench.Services.GetRequiredService<StationList>();
        var only = Assert.Single(stations);
        Assert.Equal("rig-1", only.Name);
        Assert.Same(only, stations.Find(null).Value);
        Assert.Same(only.Runner, bench.Services.GetRequiredService<ISweepRunner>());
        Assert.Same(only.Calibration, bench.Services.GetRequiredService<CalibrationDesk>());
        Assert.Same(only.Round, bench.Services.GetRequiredService<RoundDesk>());
    }

    [Fact]
    public async Task A_rig_that_is_not_there_is_refused_with_the_names_that_are()
    {
        await using var bench = await TestBench.StartAsync(["left", "right"]);
        var stations = bench.Services.GetRequiredService<StationList>();
        Assert.Equal("right", stations.Find("right").Value!.Name);
        var refusal = Assert.Single(stations.Find("middle").Refusals);
        Assert.Equal("rig-unknown", refusal.Code);
        Assert.Contains("left, right", refusal.Allowed, StringComparison.Ordinal);
    }
}
