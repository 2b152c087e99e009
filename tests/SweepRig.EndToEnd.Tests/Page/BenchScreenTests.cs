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
    public async Task A_page_cut_off_in_mid_sweep_says_so_and_catches_up_by_itself()
    {
        await using var bench = await PtyBench.StartAsync();
        await using var network = PageNetwork.To(bench.Url);
        await using var browser = await Browser.LaunchAsync(PageNetwork.BrowserArgument);
        var screen = new BenchPage(await browser.OpenAsync(bench.Url));
        var runId = await bench.StartRunAsync(TestPlans.Long);
        await screen.UntilPointsAsync(50);

        network.Cut();
        await screen.UntilItSaysThatItIsOldAsync();
        var stoodAt = await screen.PointsAsync();
        await bench.UntilBenchAsync("the sweep to go on at the rig", b => (int?)b["run"]?["pointsDone"] >= stoodAt + 100);
        Assert.True(await screen.PointsAsync() < stoodAt + 100, "The page was not cut off.");
        network.Join();

        await AssertCaughtUpAsync(screen);
        Assert.Empty((await bench.UntilRunAsync(runId, r => (string?)r["state"] == "complete"))["gaps"]!.AsArray());
    }

    [Fact]
    public async Task A_page_whose_service_falls_silent_says_so_and_shows_the_end_that_it_missed()
    {
        await using var bench = await PtyBench.StartAsync();
        await using var network = PageNetwork.To(bench.Url);
        await using var browser = await Browser.LaunchAsync(PageNetwork.BrowserArgument);
        var screen = new BenchPage(await browser.OpenAsync(bench.Url));
        var runId = await bench.StartRunAsync(TestPlans.Long);
        await screen.UntilPointsAsync(50);

        network.Hush();
        await screen.UntilItSaysThatItIsOldAsync();
        Assert.Equal("complete", (string?)(await bench.UntilRunAsync(runId, r => (string?)r["state"] != "running"))["state"]);
        Assert.Equal("running", await screen.State.GetAttributeAsync("data-state"));
        network.Join();

        await AssertCaughtUpAsync(screen);
    }

    [Fact]
    public async Task Make_safe_that_does_not_get_through_is_said_within_seconds()
    {
        await using var bench = await PtyBench.StartAsync();
        await using var network = PageNetwork.To(bench.Url);
        await using var browser = await Browser.LaunchAsync(PageNetwork.BrowserArgument);
        var screen = new BenchPage(await browser.OpenAsync(bench.Url));
        await screen.At("link-state").WaitForAsync();

        network.Hush();
        await screen.Page.Keyboard.PressAsync("Escape");

        await Assertions.Expect(screen.At("safe-failed")).ToBeInViewportAsync(new() { Ratio = 1, Timeout = 20_000 });
    }

    /// <summary>The whole of <see cref="TestPlans.Long"/>, every point of it, with its levels, and nothing said of the loss any more.</summary>
    private static async Task AssertCaughtUpAsync(BenchPage screen)
    {
        await screen.At("stale").WaitForAsync(new() { State = WaitForSelectorState.Detached });
        await screen.UntilStateAsync("complete");
        await screen.UntilPointsAsync(1_000);
        await screen.At("levels").First.WaitForAsync();
        Assert.Equal(0, await screen.At("stale").CountAsync());
    }

    [Theory]
    [InlineData(1280, 900)]
    [InlineData(390, 844)]
    public async Task Nothing_shifts_while_data_streams(int width, int height)
    {
        await using var bench = await PtyBench.StartWithRigHereAsync();
        await using var browser = await Browser.LaunchAsync();
        var screen = new BenchPage(await browser.OpenAsync(bench.Url, width: width, height: height));
        await bench.StartRunAsync(TestPlans.Long);
        await screen.UntilPointsAsync(20);

        await screen.WatchShiftsAsync();
        await screen.UntilPointsAsync(800);

        Assert.Empty(await screen.ShiftsAsync());
    }
}
