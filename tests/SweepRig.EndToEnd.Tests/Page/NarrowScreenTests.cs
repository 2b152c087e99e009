using Microsoft.Playwright;
using SweepRig.EndToEnd.Tests.Harness;

namespace SweepRig.EndToEnd.Tests.Page;

/// <summary>The page on a telephone beside the bench: 390 px wide, every act within reach.</summary>
public sealed class NarrowScreenTests
{
    /// <summary>Smallest side of a target in CSS px. Source: WCAG 2.2, success criterion 2.5.8.</summary>
    private const double SmallestTarget = 24;

    [Fact]
    public async Task A_sweep_is_permitted_started_made_safe_and_acknowledged_at_390_px()
    {
        await using var bench = await PtyBench.StartWithRigHereAsync();
        await using var browser = await Browser.LaunchAsync();
        var page = await browser.OpenAsync(bench.Url, width: 390, height: 844);
        var screen = new BenchPage(page);

        await AssertReachableAsync(page, "safe", "start", "plan-example", "plan-points", "permit-prepare", "nav-runs");
        await screen.NameTubeAsync("SKUA-014", "6AU6");
        await screen.GrantPermitAsync(24, "fold-back check");
        await screen.At("plan-example").SelectOptionAsync("far-positive-pentode");
        await screen.At("plan-points").FillAsync("200");
        await screen.At("plan-dwell").FillAsync("20000");
        await AssertReachableAsync(page, "permit-end", "start");
        await screen.At("start").ClickAsync();
        await screen.UntilPointsAsync(20);
        await AssertReachableAsync(page, "stop", "safe");
        await screen.At("safe").ClickAsync();
        await screen.Trip.WaitForAsync();
        await bench.Rig!.UntilSafeAsync();
        await AssertReachableAsync(page, "acknowledge");
        await screen.At("acknowledge").ClickAsync();
        await screen.Trip.WaitForAsync(new() { State = WaitForSelectorState.Detached });

        await screen.At("nav-runs").ClickAsync();
        await screen.At("overlay").First.WaitForAsync();
        await AssertReachableAsync(page, "safe", "nav-bench");
    }

    /// <summary>Nothing lies beyond the side of the window, and what is needed can be brought into sight and is large enough to hit.</summary>
    private static async Task AssertReachableAsync(IPage page, params string[] controls)
    {
        Assert.True(await page.EvaluateAsync<bool>("() => document.documentElement.scrollWidth <= window.innerWidth"), "The page is wider than its window.");
        foreach (var control in controls)
        {
            var found = page.GetByTestId(control).First;
            await found.ScrollIntoViewIfNeededAsync();
            var box = await found.BoundingBoxAsync();
            Assert.True(box is not null && box.X >= 0 && box.X + box.Width <= page.ViewportSize!.Width, $"{control} is not wholly in sight.");
            Assert.True(box.Width >= SmallestTarget && box.Height >= SmallestTarget, $"{control} is {box.Width} by {box.Height} px.");
        }
    }
}
