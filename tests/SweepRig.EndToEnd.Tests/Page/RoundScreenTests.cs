using Microsoft.Playwright;
using SweepRig.EndToEnd.Tests.Harness;
using static Microsoft.Playwright.Assertions;

namespace SweepRig.EndToEnd.Tests.Page;

/// <summary>A screening round from the page: with one thumb, with a scanner, by keyboard; on a telephone and on a desk.</summary>
public sealed class RoundScreenTests
{
    [Theory]
    [InlineData(390, 844, ColorScheme.Dark)]
    public async Task A_lot_is_screened_over_the_sockets_by_thumb_scanner_and_keys(int width, int height, ColorScheme scheme)
    {
        await using var service = await SimulatedService.StartAsync();
        await service.BookAsync("Skua", 6, "6AU6");
        await using var browser = await Browser.LaunchAsync();
        var screen = new BenchPage(await browser.OpenAsync(service.Url + "/#/stock", width, height, scheme));
        var page = screen.Page;
        await screen.At("to-round").ClickAsync();
        await Expect(screen.At("round-lot").Locator("option")).ToHaveCountAsync(2);

        // A socket that the rig has not is refused beside its field.
        await screen.At("round-sockets-wanted").FillAsync("9");
        await screen.At("round-start").ClickAsync();
        await Expect(screen.At("refusal")).ToContainTextAsync("9");
        await Legible.AssertAsync(page, $"round-begin-{width}");
        await screen.At("round-sockets-wanted").FillAsync("");
        await screen.At("round-start").ClickAsync();

        // By thumb; by scanner, which says that the tube asked for is at hand; by Enter.
        var ask = screen.At("round-ask").First;
        await Expect(ask).ToHaveAttributeAsync("data-tube", "SKUA-001");
        await Legible.AssertAsync(page, $"round-first-{width}");
        await Legible.AssertNotWiderThanItsWindowAsync(page);
        await screen.At("round-entry").First.ClickAsync();
        await Expect(ask).ToHaveAttributeAsync("data-tube", "SKUA-002");
        // A tube of another lot is no tube of this round.
        await screen.ScanAsync("TERN-001");
        await Expect(screen.At("refusal")).ToContainTextAsync("TERN-001");
        await screen.At("round-line").FocusAsync();
        await page.Keyboard.PressAsync("Enter");
        await Expect(ask).ToHaveAttributeAsync("data-tube", "SKUA-003");
        await Expect(screen.At("refusal")).ToHaveCountAsync(0);

        // One is not to be swept, with the reason.
        await screen.At("round-aside").ClickAsync();
        await screen.At("round-aside-why").FillAsync("pin broken");
        await screen.At("round-aside-enter").ClickAsync();
        await Expect(screen.At("round-result").And(page.Locator("[data-tube='SKUA-003']"))).ToContainTextAsync("pin broken");

        await screen.FinishRoundAsync();
        await Expect(screen.At("round-pace")).ToHaveAttributeAsync("data-done", "6");
        Assert.NotEqual("", await screen.At("round-pace").GetAttributeAsync("data-bound"));
        await Expect(screen.At("round-ask")).ToContainTextAsync("let the bulbs cool");
        await Legible.AssertAsync(page, $"round-over-{width}");
        await Legible.AssertNotWiderThanItsWindowAsync(page);

        // What it found stands in the stock.
        await page.GotoAsync(service.Url + "/#/stock?state=screened");
        await Expect(screen.At("stock-row")).ToHaveCountAsync(5);
        await screen.At("safe").WaitForAsync();
    }
}
