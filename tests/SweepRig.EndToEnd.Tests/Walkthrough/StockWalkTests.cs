using System.Globalization;
using Microsoft.Playwright;
using SweepRig.EndToEnd.Tests.Harness;
using SweepRig.EndToEnd.Tests.Page;
using SweepRig.Storage.Tests.Support;
using static Microsoft.Playwright.Assertions;

namespace SweepRig.EndToEnd.Tests.Walkthrough;

/// <summary>The tour of the README, from a crate of sixty tubes to the drift of one of them, in Chromium alone; it makes the tour's pictures.</summary>
[System.Runtime.Versioning.UnsupportedOSPlatform("windows")]
public sealed class StockWalkTests(PostgresServer server)
{
    [Fact]
    public async Task Sixty_tubes_are_booked_in_screened_graded_paired_reported_moved_and_one_is_measured_again()
    {
        await using var service = await SimulatedService.StartAsync();
        await using var browser = await Browser.LaunchAsync();
        var screen = new BenchPage(await browser.OpenAsync(service.Url));
        var page = screen.Page;

        await BookInAsync(screen);
        await ScreenAsync(screen);
        await GradeAndPairAsync(screen);
        await OnATelephoneAsync(browser, service.Url);
        await PrintAsync(screen, service);

        // The service ends, everything moves, and the same page goes on with a service on the shared store.
        var connection = Path.Combine(service.DataDirectory, "connection");
        await File.WriteAllTextAsync(connection, await server.NewDatabaseAsync() + "\n", TestContext.Current.CancellationToken);
        File.SetUnixFileMode(connection, UnixFileMode.UserRead | UnixFileMode.UserWrite);
        await service.StopAsync();
        var (exitCode, output, error) = await SweepRigProcess.RunAsync(TimeSpan.FromSeconds(60), "store", "move", "--to", "postgres", "--data", service.DataDirectory, "--connection", connection);
        Assert.True(exitCode == 0, output + error);
        await service.StartAgainAsync("--store", "postgres", "--connection", connection);

        await page.GotoAsync(service.Url + "/#/stock?grade=first");
        await Expect(screen.At("stock-count")).ToContainTextAsync("of 60 tubes");
        await MeasureAgainAsync(screen);
    }

    private static async Task BookInAsync(BenchPage screen)
    {
        await screen.Page.Keyboard.PressAsync("s");
        await screen.At("book-name").FillAsync("Skua");
        await screen.At("book-count").FillAsync("60");
        await screen.At("book-type").FillAsync("6AU6");
        await screen.At("book-place").FillAsync("drawer 3");
        await screen.At("book").ClickAsync();
        await Expect(screen.At("booked")).ToContainTextAsync("SKUA-001 to SKUA-060");
        await Expect(screen.At("stock-row")).ToHaveCountAsync(50);
        await Screenshots.TakeAsync(screen.Page, "walk-stock");
    }

    private static async Task ScreenAsync(BenchPage screen)
    {
        // A sweep of 41 points says enough of a lot, and takes a sixth of a second.
        await screen.BeginRoundAsync("Skua", points: 41);
        for (var tube = 1; tube <= 6; tube++)
        {
            await screen.At("round-entry").First.WaitForAsync();
            await screen.PressRoundEntryAsync();
        }
        await Expect(screen.At("round-pace")).Not.ToHaveAttributeAsync("data-bound", "");
        await Screenshots.TakeAsync(screen.Page, "walk-round");
        await screen.FinishRoundAsync(240);
        await Expect(screen.At("round-pace")).ToHaveAttributeAsync("data-done", "60");
        Assert.InRange(double.Parse((await screen.At("round-pace").GetAttributeAsync("data-per-hour"))!, CultureInfo.InvariantCulture), 1, 20_000);
    }

    private static async Task GradeAndPairAsync(BenchPage screen)
    {
        var page = screen.Page;
        await screen.At("nav-stock").ClickAsync();
        await screen.At("open-lot").ClickAsync();
        await Expect(screen.At("lot-histogram")).Not.ToHaveAttributeAsync("data-tubes", "0");
        await screen.At("limit-highest").FillAsync("12");
        await screen.At("grade-counts").WaitForAsync();
        await screen.At("grade-add").ClickAsync();
        await screen.At("limit-highest").Nth(1).FillAsync("20");
        await Expect(screen.At("grade-yields").Locator("tbody tr")).ToHaveCountAsync(2);
        await screen.At("pair").ClickAsync();
        await Expect(screen.At("pairs-say")).ToHaveAttributeAsync("data-proven", "true");
        Assert.InRange(int.Parse((await screen.At("pairs-say").GetAttributeAsync("data-pairs"))!, CultureInfo.InvariantCulture), 20, 30);
        await page.EvaluateAsync("() => scrollTo(0, 0)");
        await Legible.AssertAsync(page, "lot-light");
        await page.SetViewportSizeAsync(1280, 1400);
        await Screenshots.TakeAsync(page, "walk-lot");
        await page.SetViewportSizeAsync(1280, 900);
        await screen.At("grades-give").ClickAsync();
        await Expect(screen.At("grades-given")).ToContainTextAsync("Given.");
    }

    /// <summary>The same lot beside the bench: legible, no wider than its window, and nothing moves while it is read.</summary>
    private static async Task OnATelephoneAsync(Browser browser, string url)
    {
        var screen = new BenchPage(await browser.OpenAsync(url + "/#/stock", 390, 844, ColorScheme.Dark));
        await Expect(screen.At("open-lot")).ToBeVisibleAsync();
        await screen.WatchShiftsAsync();
        await screen.Page.EvaluateAsync("() => location.hash = '/lots/Skua?pairs=best'");
        await screen.At("pairs").WaitForAsync();
        await Expect(screen.At("lot-scatter")).Not.ToHaveAttributeAsync("data-tubes", "0");
        await Legible.AssertNotWiderThanItsWindowAsync(screen.Page);
        await Legible.AssertAsync(screen.Page, "lot-narrow");
        var shifts = await screen.ShiftsAsync();
        Assert.True(shifts.Length == 0, string.Join('\n', shifts));
        await screen.Page.CloseAsync();
    }

    private static async Task PrintAsync(BenchPage screen, SimulatedService service)
    {
        foreach (var paper in new[] { "lot-report-pdf", "lot-labels" })
        {
            var pdf = await service.Http.GetByteArrayAsync(await screen.At(paper).GetAttributeAsync("href"), TestContext.Current.CancellationToken);
            Assert.Equal("%PDF"u8.ToArray(), pdf[..4]);
        }
    }

    private static async Task MeasureAgainAsync(BenchPage screen)
    {
        var page = screen.Page;
        await page.Keyboard.PressAsync("o");
        await screen.At("round-tubes").FillAsync("SKUA-014");
        await screen.At("round-plan").SelectOptionAsync(new SelectOptionValue { Label = "as planned on the Bench" });
        await screen.At("round-start").ClickAsync();
        await screen.FinishRoundAsync();
        await screen.At("nav-stock").ClickAsync();
        await screen.At("stock-row").First.WaitForAsync();
        await screen.ScanAsync("SKUA-014");
        await Expect(screen.At("drift")).ToHaveAttributeAsync("data-points", "2");
        Assert.Matches("true|false", await screen.At("drift").GetAttributeAsync("data-changed"));
        await page.SetViewportSizeAsync(1280, 1500);
        await Screenshots.TakeAsync(page, "walk-drift");
        await Legible.AssertAsync(page, "tube-drift-light");
    }
}
