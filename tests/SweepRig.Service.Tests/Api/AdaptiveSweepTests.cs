using SweepRig.Analysis.Levels;
using SweepRig.Analysis.Models;
using SweepRig.Analysis.Predictions;
using SweepRig.Domain.Measurement;
using SweepRig.Domain.Plans;
using SweepRig.Service.Fits;
using SweepRig.Service.Live;
using SweepRig.Service.Tests.Support;
using SweepRig.Storage;
using Microsoft.Extensions.DependencyInjection;

namespace SweepRig.Service.Tests.Api;

/// <summary>Adaptive sweeps on the simulated rig, fits and all.</summary>
[Collection(RealTime.Name)]
public sealed class AdaptiveSweepTests
{
    [Fact]
    public async Task The_switching_point_is_that_of_an_even_sweep_with_fewer_points()
    {
        await using var bench = await TestBench.StartWholeAsync();
        using (var permit = await bench.SendAsync("POST", "/api/bench/permit", """{"ceilingVolts":4,"durationSeconds":240,"reason":"switching point"}""")) permit.EnsureSuccessStatusCode();
        var even = PlanExamples.GentlePentode.Plan with { Start = new(-8), Stop = new(4), Points = 192, Direction = SweepDirection.Up, Repeats = 1 };
        var wanted = 1e-3;
        var adaptive = even with { Points = 160, Adaptive = new(new(wanted), 24, 8) };
        var (first, second) = (await FitEndpointsTests.SweepAsync(bench, even), await FitEndpointsTests.SweepAsync(bench, adaptive));

        var run = await ReadAsync(bench, second);
        var points = run.Curves.Sum(c => c.Count);
        Assert.InRange(points, 24, 159);
        Assert.Equal(points, run.Record.Header.Passes.Sum(p => p.Points));
        Assert.Empty(run.Record.Gaps);
        var found = Switching(run);
        Assert.InRange(found.Uncertainty!.Value, 0, wanted);
        var reference = Switching(await ReadAsync(bench, first));
        var apart = Math.Abs(found.Value!.Value - reference.Value!.Value);
        Assert.True(apart <= 3 * Math.Sqrt(wanted * wanted + Math.Pow(reference.Uncertainty!.Value, 2)), $"{found} and {reference}");

        // Its levels are those of one curve, in the order of the drives.
        var levels = Assert.Single(RunLevelFinder.Find(run.Header, run.Curves, new LevelOptions()).Curves);
        Assert.InRange(levels.HighestOutput.Value!.Value, 27, 29);
    }

    private static Analysis.Figure Switching(RecordedRun run)
    {
        var fit = TubeFits.Fit([run], TestContext.Current.CancellationToken);
        Assert.NotEqual(ModelFitStatus.Refused, fit.Status);
        var plan = run.Record.Header.Plan;
        return SwitchingPrediction.Of(fit, plan.Connection, MeasurementUncertainty.Of(run.Header), plan.Start.Value, plan.Stop.Value)!.Drive;
    }

    private static async Task<RecordedRun> ReadAsync(TestBench bench, string id)
    {
        var store = bench.Services.GetRequiredService<RunStore>();
        return await RecordedRun.ReadAsync(store, (await store.FindAsync(id, TestContext.Current.CancellationToken))!, TestContext.Current.CancellationToken);
    }
}
