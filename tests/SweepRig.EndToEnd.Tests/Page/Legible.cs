using Deque.AxeCore.Commons;
using Deque.AxeCore.Playwright;
using Microsoft.Playwright;
using SweepRig.EndToEnd.Tests.Harness;

namespace SweepRig.EndToEnd.Tests.Page;

/// <summary>Contrast, labels and roles by axe-core (WCAG 2 A and AA), with a picture to look at.</summary>
internal static class Legible
{
    public static async Task AssertAsync(IPage page, string picture)
    {
        await Screenshots.TakeAsync(page, picture, fullPage: true);
        var result = await page.RunAxe(new AxeRunOptions { RunOnly = new RunOnlyOptions { Type = "tag", Values = ["wcag2a", "wcag2aa", "wcag21aa"] } });
        Assert.True(result.Violations.Length == 0, string.Join('\n', result.Violations.Select(v => $"{v.Id}: {v.Help} ({string.Join(", ", v.Nodes.Select(n => n.Html).Take(3))})")));
    }

    public static async Task AssertNotWiderThanItsWindowAsync(IPage page) =>
        Assert.True(await page.EvaluateAsync<bool>("() => document.documentElement.scrollWidth <= window.innerWidth"), "The page is wider than its window.");
}
