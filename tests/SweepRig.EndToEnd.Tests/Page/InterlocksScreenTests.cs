using System.Text.Json.Nodes;
using Microsoft.Playwright;
using SweepRig.EndToEnd.Tests.Harness;
using static Microsoft.Playwright.Assertions;

namespace SweepRig.EndToEnd.Tests.Page;

/// <summary>The rules as one reads them before a sweep, and the one behind a trip.</summary>
public sealed class InterlocksScreenTests
{
    [Fact]
    public async Task Every_rule_is_there_with_its_limits_and_the_one_that_fired_comes_first_until_it_is_released()
    {
        await using var service = await SimulatedService.StartAsync();
        using var http = new HttpClient { BaseAddress = new(service.Url) };
        var told = JsonNode.Parse(await http.GetStringAsync("/api/interlocks", TestContext.Current.CancellationToken))!["rules"]!.AsArray();
        await using var browser = await Browser.LaunchAsync();
        var screen = new BenchPage(await browser.OpenAsync(service.Url));
        var page = screen.Page;
        await screen.At("start").WaitForAsync();

        await page.Keyboard.PressAsync("i");
        var rules = screen.At("rule");
        await Expect(rules).ToHaveCountAsync(told.Count);
        await Expect(screen.At("limits-in-force")).ToContainTextAsync("the attended limits hold");
        await Expect(page.Locator("[data-rule=stale-data]")).ToContainTextAsync("5 s");
        await Expect(page.Locator("[data-testid=rule][data-fired=true]")).ToHaveCountAsync(0);
        // Where a limit comes from is a step away.
        await page.Locator("[data-rule=stale-data] summary").ClickAsync();
        await Expect(page.Locator("[data-rule=stale-data] dl")).ToContainTextAsync("1 to 30 s");
        await Legible.AssertAsync(page, "interlocks-light");

        // The answer to the order comes late: what the bench told meanwhile, that nothing stands in the way of a release, is newer.
        await page.RouteAsync("**/api/bench/safe", async route =>
        {
            var answer = await route.FetchAsync();
            await page.Locator("[data-testid=trip][data-cause-gone=true]").WaitForAsync();
            await route.FulfillAsync(new() { Response = answer });
        });
        await page.Keyboard.PressAsync("Escape");
        await screen.Trip.WaitForAsync();
        await Expect(rules.First).ToHaveAttributeAsync("data-rule", "make-safe");
        await Expect(rules.First).ToHaveAttributeAsync("data-fired", "true");
        await Expect(rules.First.Locator("dl")).ToBeVisibleAsync();
        await Expect(rules).ToHaveCountAsync(told.Count);
        await Screenshots.TakeAsync(page, "interlocks-fired", fullPage: true);

        await page.SetViewportSizeAsync(390, 844);
        await Legible.AssertNotWiderThanItsWindowAsync(page);
        await Screenshots.TakeAsync(page, "interlocks-narrow", fullPage: true);

        await screen.At("acknowledge").ClickAsync();
        await screen.Trip.WaitForAsync(new() { State = WaitForSelectorState.Detached });
        await Expect(page.Locator("[data-testid=rule][data-fired=true]")).ToHaveCountAsync(0);
    }
}
