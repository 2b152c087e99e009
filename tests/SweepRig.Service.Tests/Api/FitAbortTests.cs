using System.Net;
using Microsoft.Extensions.DependencyInjection;
using SweepRig.Domain.Plans;
using SweepRig.Service.Fits;
using SweepRig.Service.Tests.Support;
using SweepRig.Storage;

namespace SweepRig.Service.Tests.Api;

/// <summary>A request that its asker gives up does not go on computing: its place at the workbench is free for the next one.</summary>
public sealed class FitAbortTests
{
    [Fact]
    public async Task A_fit_that_nobody_waits_for_any_more_is_stopped()
    {
        await using var bench = await TestBench.StartAsync();
        var store = bench.Services.GetRequiredService<RunStore>();
        // As many points as a fit takes: it would hold its place for long.
        ModelledRun[] runs = [.. Enumerable.Range(0, 4).Select(i => new ModelledRun(PlanExamples.FarPositivePentode.Plan with { Points = 2_400 }) { Seed = i })];
        foreach (var run in runs) await run.StoreAsync(store);
        var two = new ModelledRun(PlanExamples.GentlePentode.Plan with { Points = 2 });
        await two.StoreAsync(store);
        var places = Math.Max(1, Environment.ProcessorCount / 2);
        var asked = $"/api/runs/{runs[0].Id}/fit?{string.Join('&', runs.Skip(1).Select(r => $"with={r.Id}"))}";
        using (var leaving = new CancellationTokenSource(TimeSpan.FromSeconds(1.5)))
        {
            await Task.WhenAll(Enumerable.Range(0, places).Select(_ =>
                Assert.ThrowsAnyAsync<OperationCanceledException>(() => bench.Http.GetAsync(asked, leaving.Token))));
        }
        // Each place has work of its own now: it is done at once where the fits have stopped.
        using var deadline = CancellationTokenSource.CreateLinkedTokenSource(TestContext.Current.CancellationToken);
        deadline.CancelAfter(TimeSpan.FromSeconds(5));
        var workbench = bench.Services.GetRequiredService<Workbench>();
        Assert.All(await Task.WhenAll(Enumerable.Range(0, places).Select(_ => workbench.RunAsync(() => 1, deadline.Token))), r => Assert.Equal(1, r));
        using var answer = await bench.SendAsync("GET", $"/api/runs/{two.Id}/fit", null);
        Assert.Equal(HttpStatusCode.OK, answer.StatusCode);
    }
}
