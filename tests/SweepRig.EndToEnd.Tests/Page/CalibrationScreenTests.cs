using Deque.AxeCore.Playwright;
using Microsoft.Playwright;
using SweepRig.EndToEnd.Tests.Harness;

namespace SweepRig.EndToEnd.Tests.Page;

/// <summary>A calibration on the page, by keyboard where it can be, through a power failure in its middle, legible in both themes and at 390 px.</summary>
public sealed class CalibrationScreenTests
{
    [Fact]
    public async Task A_calibration_goes_from_cautions_to_kept_on_the_page()
    {
        await using var service = await SimulatedService.StartAsync();
        await using var browser = await Browser.LaunchAsync();
        var page = await browser.OpenAsync(service.Url);
        await page.GetByTestId("calibration-state").GetByText("Nominal", new() { Exact = true }).WaitForAsync();
        await page.GetByTestId("calibration-state").GetByRole(AriaRole.Link).ClickAsync();
        await page.GetByTestId("calibration-cautions").WaitForAsync();
        await AssertLegibleAsync(page, "calibration-begin-light");

        // Nothing begins with a tube in the socket; the refusal says so in words.
        await page.GetByTestId("cal-practice-meter").ClickAsync();
        await page.GetByTestId("cal-note").FillAsync("tide-clock bench");
        await page.GetByTestId("cal-note").PressAsync("Enter");
        await page.Locator("[data-testid=refusal][data-code=tube-in-socket]").WaitForAsync();
        await page.GetByTestId("cal-tube-out").FocusAsync();
        await page.Keyboard.PressAsync("Space");
        await page.GetByTestId("cal-begin").FocusAsync();
        await page.Keyboard.PressAsync("Enter");

        // By keyboard: hold, a reading with the leads exchanged, then the right one.
        await StepAsync(page, "drive-1");
        await page.GetByTestId("cal-hold").FocusAsync();
        await page.Keyboard.PressAsync("Enter");
        await page.GetByTestId("cal-held").GetByText("Held;").WaitForAsync();
        await page.GetByTestId("cal-value").FillAsync("14.0");
        await page.GetByTestId("cal-value").PressAsync("Enter");
        await page.Locator("[data-testid=refusal][data-code=reading-sign]").WaitForAsync();
        await page.GetByTestId("cal-value").FillAsync("-14.0");
        await page.GetByTestId("cal-value").PressAsync("Enter");
        await StepAsync(page, "drive-2");

        // The power fails; what was read is there again.
        await service.KillAndStartAgainAsync();
        var again = await browser.OpenAsync(service.Url + "/#/calibration", scheme: ColorScheme.Dark);
        await StepAsync(again, "drive-2");
        await again.GetByTestId("cal-practise").ClickAsync();
        await StepAsync(again, "review", seconds: 120);
        Assert.Equal(6, await again.GetByTestId("cal-fits").Locator("tbody tr").CountAsync());
        await AssertLegibleAsync(again, "calibration-review-dark");
        await again.GetByTestId("cal-accept").ClickAsync();
        await StepAsync(again, "check-drive");
        await again.GetByTestId("cal-practise").ClickAsync();
        await StepAsync(again, "store", seconds: 60);
        Assert.Equal(6, await again.GetByTestId("cal-checks").GetByText("pass").CountAsync());

        await again.SetViewportSizeAsync(390, 844);
        Assert.True(await again.EvaluateAsync<bool>("() => document.documentElement.scrollWidth <= window.innerWidth"), "The page is wider than 390 px.");
        await AssertLegibleAsync(again, "calibration-narrow");
        await again.GetByTestId("cal-keep").ClickAsync();
        await again.GetByTestId("calibration-kept").WaitForAsync();
        await again.Keyboard.PressAsync("b");
        await again.GetByTestId("calibration-state").GetByText("Calibrated", new() { Exact = true }).WaitForAsync();
        await again.Keyboard.PressAsync("k");
        await again.GetByTestId("calibration-in-use").GetByText("Calibrated until").WaitForAsync();
    }

    private static Task StepAsync(IPage page, string step, double seconds = 20) =>
        page.Locator($"[data-testid=calibration-step][data-step={step}]").WaitForAsync(new() { Timeout = (float)(1000 * seconds) });

    private static async Task AssertLegibleAsync(IPage page, string picture)
    {
        await Screenshots.TakeAsync(page, picture, fullPage: true);
        var result = await page.RunAxe(new Deque.AxeCore.Commons.AxeRunOptions
        {
            RunOnly = new Deque.AxeCore.Commons.RunOnlyOptions { Type = "tag", Values = ["wcag2a", "wcag2aa", "wcag21aa"] },
        });
        Assert.True(result.Violations.Length == 0, string.Join('\n', result.Violations.Select(v => $"{v.Id}: {v.Help} ({string.Join(", ", v.Nodes.Select(n => n.Html).Take(3))})")));
    }
}
