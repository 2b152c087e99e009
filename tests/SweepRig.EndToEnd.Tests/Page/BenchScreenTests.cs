using Microsoft.Playwright;
using SweepRig.EndToEnd.Tests.Harness;

namespace SweepRig.EndToEnd.Tests.Page;

/// <summary><c>simulate --pty</c>, <c>serve</c> on that port, and the page in headless Chromium.</summary>
public sealed class BenchScreenTests
{
    [Fact]
    public async Task A_sweep_is_drawn_while_it_runs_then_tripped_acknowledged_reloaded_and_overlaid()
    {
        await using var bench = await PtyBench.StartAsync();
        await using var browser = await Browser.LaunchAsync();
        var screen = new BenchPage(await browser.OpenAsync(bench.Url));

        await screen.NameTubeAsync("SKUA-014", "6AU6");
        await screen.At("plan-example").SelectOptionAsync("far-positive-pentode");
        await screen.GrantPermitAsync(24, "fold-back check");
        await screen.At("start").ClickAsync();
        await screen.UntilPointsAsync(1);
        Assert.InRange(await screen.PointsAsync(), 1, 381);
        Assert.Equal("running", await screen.State.GetAttributeAsync("data-state"));
        await screen.UntilStateAsync("complete");
        Assert.Equal(382, await screen.PointsAsync());
        await screen.At("levels").First.WaitForAsync();

        await screen.At("plan-example").SelectOptionAsync("gentle-pentode");
        await screen.At("plan-points").FillAsync("1000");
        await screen.At("plan-dwell").FillAsync("10000");
        await screen.At("start").ClickAsync();
        await screen.UntilStateAsync("running");
        await screen.UntilPointsAsync(50);
        await screen.Page.ReloadAsync();
        await screen.UntilPointsAsync(100);
        await screen.Page.Keyboard.PressAsync("Escape");
        await screen.Trip.WaitForAsync();
        await screen.UntilStateAsync("tripped");
        await screen.At("acknowledge").ClickAsync();
        await screen.Trip.WaitForAsync(new() { State = WaitForSelectorState.Detached });

        await screen.At("nav-runs").ClickAsync();
        var boxes = screen.At("overlay");
        await boxes.Nth(1).WaitForAsync();
        await boxes.Nth(0).CheckAsync();
        await boxes.Nth(1).CheckAsync();
        await screen.At("overlay-plot").WaitForAsync();
        Assert.Equal(2, await screen.Page.Locator("[data-testid=overlay]:checked").CountAsync());
    }

    [Fact]
    public async Task The_page_says_that_the_cable_was_pulled()
    {
        await using var bench = await PtyBench.StartWithRigHereAsync();
        await using var browser = await Browser.LaunchAsync();
        var screen = new BenchPage(await browser.OpenAsync(bench.Url));
        var runId = await bench.StartRunAsync(TestPlans.Long);
        await screen.UntilPointsAsync(50);

        bench.Rig!.PullCable();

        await screen.Trip.WaitForAsync();
        Assert.Equal("link-lost", await screen.Trip.GetAttributeAsync("data-cause"));
        Assert.True(await screen.At("acknowledge").IsDisabledAsync());
        await screen.UntilStateAsync("tripped");
        Assert.True(await screen.PointsAsync() >= 50);
        await bench.Rig.UntilSafeAsync();
        await bench.UntilRunAsync(runId, r => (string?)r["state"] == "tripped");
    }

    [Fact]
    public async Task Nothing_shifts_while_data_streams()
    {
        await using var bench = await PtyBench.StartWithRigHereAsync();
        await using var browser = await Browser.LaunchAsync();
        var screen = new BenchPage(await browser.OpenAsync(bench.Url));
        await bench.StartRunAsync(TestPlans.Long);
        await screen.UntilPointsAsync(20);

        await screen.WatchShiftsAsync();
        await screen.UntilPointsAsync(800);

        Assert.Equal(0, await screen.ShiftsAsync());
    }
}
