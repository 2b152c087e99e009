using Microsoft.Playwright;
using SweepRig.EndToEnd.Tests.Harness;
using static Microsoft.Playwright.Assertions;

namespace SweepRig.EndToEnd.Tests.Page;

/// <summary>From the pages alone: a run that shows one load line teaches how to make a family; the family is swept, drawn, a load line is asked for, swept, and seen to hold.</summary>
public sealed class FamilyTests
{
    [Fact]
    public async Task A_family_is_made_drawn_and_its_load_line_holds()
    {
        await using var service = await SimulatedService.StartAsync();
        await using var browser = await Browser.LaunchAsync();
        var screen = new BenchPage(await browser.OpenAsync(service.Url));
        var page = screen.Page;

        await screen.NameTubeAsync("SKUA-014", "6AU6");
        await screen.At("plan-example").SelectOptionAsync("gentle-pentode");
        await screen.SweepAsync();
        await screen.At("shown-run").ClickAsync();
        await screen.At("family-to-bench").ClickAsync();
        Assert.Equal("triode", await screen.At("plan-connection").InputValueAsync());
        Assert.Equal(("7", "28", "7"), (await screen.At("plan-step-from").InputValueAsync(), await screen.At("plan-step-to").InputValueAsync(), await screen.At("plan-step-count").InputValueAsync()));
        await screen.SweepAsync();

        // Drawn as it stands, with the load line of the run itself; its key leads to it.
        await screen.At("shown-run").ClickAsync();
        var figure = screen.At("family-figure");
        await figure.WaitForAsync();
        await Expect(figure).Not.ToHaveAttributeAsync("data-points", "0");
        await page.Keyboard.PressAsync("g");
        await Expect(figure.Locator(".plot")).ToBeFocusedAsync();
        // Two rails and more in one run tell the slopes of the tube.
        await Expect(screen.At("slopes-mu").First).ToContainTextAsync("±");

        // What is no rail is refused beside the field.
        await screen.At("line-rail").FillAsync("61");
        await screen.At("line-rail").PressAsync("Enter");
        await Expect(screen.At("line-rail")).ToHaveAttributeAsync("aria-invalid", "true");
        await screen.At("line-rail").FillAsync("26");
        await screen.At("line-ohms").FillAsync("22k");
        await screen.At("line-ohms").PressAsync("Enter");
        await Expect(screen.At("line-sweep")).ToBeEnabledAsync();
        await screen.At("line-sweep").ClickAsync();
        Assert.Equal(("22000", "26"), (await screen.At("plan-plate-resistor").InputValueAsync(), await screen.At("plan-plate-rail").InputValueAsync()));
        await screen.SweepAsync();

        await screen.At("plan-checks").GetByRole(AriaRole.Link).ClickAsync();
        var check = screen.At("family-check");
        await check.WaitForAsync();
        Assert.True(await check.GetAttributeAsync("data-verdict") is "held" or "edge", await check.InnerTextAsync());
        await Legible.AssertAsync(page, "family-light");
        var narrow = await browser.OpenAsync(page.Url, width: 390, height: 844, scheme: ColorScheme.Dark);
        await narrow.GetByTestId("family-check").WaitForAsync();
        await Legible.AssertNotWiderThanItsWindowAsync(narrow);
        await Legible.AssertAsync(narrow, "family-narrow-dark");
    }
}
