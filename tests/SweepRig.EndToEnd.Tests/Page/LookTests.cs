using Deque.AxeCore.Playwright;
using Microsoft.Playwright;
using SweepRig.Domain.Plans;
using SweepRig.EndToEnd.Tests.Harness;

namespace SweepRig.EndToEnd.Tests.Page;

/// <summary>Pictures for the README, contrast and labels by axe-core (WCAG 2 A and AA), and the narrow screen beside the bench.</summary>
public sealed class LookTests
{
    [Fact]
    public async Task Both_screens_are_legible_in_both_themes_and_on_a_narrow_screen()
    {
        await using var bench = await PtyBench.StartWithRigHereAsync();
        Assert.Equal(200, await bench.GrantPermitAsync(24, 600));
        var runId = "";
        foreach (var example in new[] { PlanExamples.FarPositiveTriode, PlanExamples.FarPositivePentode })
        {
            runId = await bench.StartRunAsync(TestPlans.Document(example.Plan));
            await bench.UntilRunAsync(runId, r => (string?)r["state"] == "complete");
        }
        await using var browser = await Browser.LaunchAsync();
        await AssertReportIsLegibleAsync(browser, $"{bench.Url.TrimEnd('/')}/api/runs/{runId}/report.html");

        foreach (var (scheme, name) in new[] { (ColorScheme.Light, "light"), (ColorScheme.Dark, "dark") })
        {
            var page = await browser.OpenAsync(bench.Url, scheme: scheme);
            var screen = new BenchPage(page);
            await screen.UntilPointsAsync(382);
            await screen.At("levels").First.WaitForAsync();
            await Screenshots.TakeAsync(page, $"bench-{name}");
            await AssertAccessibleAsync(page);
            await screen.At("nav-runs").ClickAsync();
            await screen.At("overlay").Nth(1).WaitForAsync();
            await screen.At("overlay").Nth(0).CheckAsync();
            await screen.At("overlay").Nth(1).CheckAsync();
            await screen.At("overlay-plot").WaitForAsync();
            await Screenshots.TakeAsync(page, $"runs-{name}");
            await AssertAccessibleAsync(page);
            await page.CloseAsync();
        }

        var narrow = await browser.OpenAsync(bench.Url, width: 390, height: 844);
        await new BenchPage(narrow).UntilPointsAsync(382);
        await Screenshots.TakeAsync(narrow, "bench-narrow");
        await AssertNotWiderThanItsWindowAsync(narrow);
        await narrow.GetByTestId("nav-runs").ClickAsync();
        await narrow.GetByTestId("overlay").Nth(0).CheckAsync();
        await narrow.GetByTestId("levels").WaitForAsync();
        await AssertNotWiderThanItsWindowAsync(narrow);
        await narrow.EvaluateAsync("() => scrollTo(0, 0)");
        await Screenshots.TakeAsync(narrow, "runs-narrow");
    }

    private static async Task AssertReportIsLegibleAsync(Browser browser, string report)
    {
        var page = await browser.OpenAsync(report, width: 390, height: 844);
        // Output and currents, residuals, and the output with another resistor.
        Assert.Equal(4, await page.Locator("figure svg").CountAsync());
        await AssertNotWiderThanItsWindowAsync(page);
        await AssertAccessibleAsync(page);
        await page.CloseAsync();
    }

    private static async Task AssertNotWiderThanItsWindowAsync(IPage page) =>
        Assert.True(await page.EvaluateAsync<bool>("() => document.documentElement.scrollWidth <= window.innerWidth"), "The page is wider than its window.");

    private static async Task AssertAccessibleAsync(IPage page)
    {
        var result = await page.RunAxe(new Deque.AxeCore.Commons.AxeRunOptions
        {
            RunOnly = new Deque.AxeCore.Commons.RunOnlyOptions { Type = "tag", Values = ["wcag2a", "wcag2aa", "wcag21aa"] },
        });
        Assert.True(result.Violations.Length == 0, string.Join('\n', result.Violations.Select(v =>
            $"{v.Id}: {v.Help} ({string.Join(", ", v.Nodes.Select(n => n.Html).Take(3))})")));
    }
}
