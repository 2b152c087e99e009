using Microsoft.Playwright;
using SweepRig.EndToEnd.Tests.Harness;
using static Microsoft.Playwright.Assertions;

namespace SweepRig.EndToEnd.Tests.Page;

/// <summary>The stock as a person at the bench uses it: from the first empty screen, by keyboard and scanner, in both themes and on a telephone.</summary>
public sealed class StockScreenTests
{
    [Fact]
    public async Task Tubes_are_booked_in_found_called_up_by_scanner_and_changed()
    {
        await using var service = await SimulatedService.StartAsync();
        await using var browser = await Browser.LaunchAsync();
        var screen = new BenchPage(await browser.OpenAsync(service.Url));
        var page = screen.Page;
        await page.Keyboard.PressAsync("s");
        await Expect(screen.At("stock-empty")).ToContainTextAsync("Begin with a box");
        await Legible.AssertAsync(page, "stock-empty-light");

        // Bad input is said beside its field, and nothing is booked in.
        await screen.At("book-name").FillAsync("Skua");
        await screen.At("book-count").FillAsync("0");
        await screen.At("book").ClickAsync();
        await Expect(screen.At("book-count")).ToHaveAttributeAsync("aria-invalid", "true");
        await screen.At("stock-empty").WaitForAsync();

        await screen.At("book-count").FillAsync("60");
        await screen.At("book-type").FillAsync("6AU6");
        await screen.At("book-place").FillAsync("drawer 3");
        await screen.At("book-place").PressAsync("Enter");
        await Expect(screen.At("booked")).ToContainTextAsync("SKUA-001 to SKUA-060");
        await Expect(screen.At("stock-count")).ToHaveAttributeAsync("data-found", "60");
        await Expect(screen.At("stock-row")).ToHaveCountAsync(50);
        await screen.At("stock-more").ClickAsync();
        await Expect(screen.At("stock-row")).ToHaveCountAsync(60);

        // By scanner, wherever the hands were: in a field, what the scanner typed does not stay there.
        await screen.At("book-note").EvaluateAsync("e => e.closest('details').open = true");
        await screen.At("book-note").FillAsync("two of them are dusty");
        await screen.At("book-note").FocusAsync();
        await screen.ScanAsync("skua-014");
        await Expect(screen.At("tube-panel")).ToHaveAttributeAsync("data-label", "SKUA-014");
        await screen.ScanAsync("TERN-001");
        await Expect(screen.At("tube-panel")).ToContainTextAsync("The stock has no TERN-001.");
        // The letters of a number are no keys: none of S, K, A led to another screen.
        await screen.ScanAsync("SKA-002");
        await Expect(screen.At("tube-panel")).ToContainTextAsync("SKA-002");
        await screen.At("screen-stock").WaitForAsync();

        // By keyboard: to the search, type the number, Enter.
        await page.Keyboard.PressAsync("/");
        await screen.At("stock-find").FillAsync("skua-014");
        await page.Keyboard.PressAsync("Enter");
        await Expect(screen.At("called-up-state")).ToHaveAttributeAsync("data-state", "new");
        await ChangeAsync(screen, "use", "tide clock, bit 2");
        await Expect(screen.At("called-up-state")).ToHaveAttributeAsync("data-state", "in use");
        await Expect(screen.At("tube-history").Locator("li").First).ToContainTextAsync("put to use tide clock, bit 2");
        await ChangeAsync(screen, "retire", "getter is white");
        await Expect(screen.At("change-kind").Locator("option")).ToHaveTextAsync(["Keep a note", "Bring it back into the stock"]);

        // Conditions stand in the address, so that a reload leads back to them.
        await screen.At("tube-close").ClickAsync();
        await screen.At("stock-state").SelectOptionAsync("retired");
        await Expect(screen.At("stock-row")).ToHaveCountAsync(1);
        await page.ReloadAsync();
        await Expect(screen.At("stock-count")).ToHaveTextAsync("1 of 60 tubes");
        await screen.At("stock-find").FillAsync("nothing like it");
        await screen.At("stock-none").WaitForAsync();
        await screen.At("stock-clear").ClickAsync();
        await Expect(screen.At("stock-row")).ToHaveCountAsync(50);

        await screen.At("call-up").First.ClickAsync();
        await screen.At("tube-sweep").ClickAsync();
        await Expect(screen.At("tube-label")).ToHaveValueAsync("SKUA-001");
        await Expect(screen.At("tube-lot")).ToHaveValueAsync("Skua");
    }

    [Theory]
    [InlineData(1280, 900, ColorScheme.Dark)]
    [InlineData(390, 844, ColorScheme.Light)]
    public async Task The_stock_is_legible_and_keeps_still(int width, int height, ColorScheme scheme)
    {
        await using var service = await SimulatedService.StartAsync();
        await service.BookAsync("Skua", 60, "6AU6");
        await using var browser = await Browser.LaunchAsync();
        var screen = new BenchPage(await browser.OpenAsync(service.Url + "/#/runs", width, height, scheme));
        await screen.At("no-runs").WaitForAsync();
        await screen.WatchShiftsAsync();
        await screen.At("nav-stock").ClickAsync();
        await Expect(screen.At("stock-row")).ToHaveCountAsync(50);
        await Legible.AssertAsync(screen.Page, $"stock-{width}");
        await Legible.AssertNotWiderThanItsWindowAsync(screen.Page);
        await screen.At("call-up").Nth(13).ClickAsync();
        await screen.At("tube-history").WaitForAsync();
        await Legible.AssertAsync(screen.Page, $"stock-tube-{width}");
        await Legible.AssertNotWiderThanItsWindowAsync(screen.Page);
        var shifts = await screen.ShiftsAsync();
        Assert.True(shifts.Length == 0, string.Join('\n', shifts));
    }

    private static async Task ChangeAsync(BenchPage screen, string kind, string text)
    {
        await screen.At("change-kind").SelectOptionAsync(kind);
        await screen.At("change-text").FillAsync(text);
        await screen.At("change-text").PressAsync("Enter");
        await Expect(screen.At("change-text")).ToHaveValueAsync("");
    }
}
