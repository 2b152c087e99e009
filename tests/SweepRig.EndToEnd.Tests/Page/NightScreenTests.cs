using Microsoft.Playwright;
using SweepRig.EndToEnd.Tests.Harness;
using static Microsoft.Playwright.Assertions;

namespace SweepRig.EndToEnd.Tests.Page;

/// <summary>A night composed on a telephone: faults at their fields, jobs in order by keys, a file out and in again, and nothing that moves by itself.</summary>
public sealed class NightScreenTests
{
    [Fact]
    public async Task A_night_is_composed_with_every_fault_at_its_field_and_taken_out_and_in_as_a_file()
    {
        await using var service = await SimulatedService.StartAsync();
        await service.BookAsync("Skua", 4, "6AU6");
        await using var browser = await Browser.LaunchAsync();
        var screen = new BenchPage(await browser.OpenAsync(service.Url, 390, 844, ColorScheme.Dark));
        var page = screen.Page;
        await page.Keyboard.PressAsync("n");

        // An empty night says what it lacks, at the socket that has no tube.
        await Expect(screen.At("night-plan")).ToHaveAttributeAsync("data-state", "refused");
        await Expect(screen.At("refusal").And(page.Locator("[data-path='/sockets/0/tube']"))).ToBeVisibleAsync();
        await Legible.AssertAsync(page, "night-empty-narrow");
        await screen.ScanAsync("SKUA-003");
        await screen.ScanAsync("SKUA-001");
        await Expect(screen.At("seat-tube").Nth(1)).ToHaveValueAsync("SKUA-001");
        await Expect(screen.At("night-plan")).ToHaveAttributeAsync("data-state", "good");

        // A socket that the rig has not, and an hour that is none.
        await screen.At("seat-socket").Nth(1).FillAsync("7");
        await Expect(screen.At("refusal").And(page.Locator("[data-path='/sockets/1/socket']"))).ToContainTextAsync("sockets 0 to 3");
        await screen.At("seat-socket").Nth(1).FillAsync("1");
        await screen.At("night-to").FillAsync("26:30");
        await Expect(screen.At("refusal").And(page.Locator("[data-path='/window/to']"))).ToContainTextAsync("26:30");
        await screen.At("night-to").FillAsync("06:30");

        // A second job, put first by keys; it may not come after one that comes after it.
        await screen.At("job-kind").SelectOptionAsync("sweep");
        await screen.At("job-add").ClickAsync();
        await Expect(screen.At("job-name")).ToHaveValueAsync("sweep");
        await screen.At("job-after").CheckAsync();
        await screen.At("job-if-passed").CheckAsync();
        await Expect(screen.At("night-plan")).ToHaveAttributeAsync("data-steps", "4");
        await screen.At("job-open").Nth(1).FocusAsync();
        await page.Keyboard.PressAsync("Alt+ArrowUp");
        await Expect(screen.At("night-job").First).ToHaveAttributeAsync("data-name", "sweep");
        await Expect(screen.At("job-open").First).ToBeFocusedAsync();
        await screen.At("job-name").FillAsync("Sweep 1");
        await Expect(screen.At("night-job").First).ToHaveAttributeAsync("data-faults", "1");
        await screen.At("job-name").FillAsync("sweep-1");
        await Expect(screen.At("night-plan")).ToHaveAttributeAsync("data-state", "good");
        await Expect(screen.At("night-timeline")).ToHaveAttributeAsync("data-predicted", "4");
        await Legible.AssertAsync(page, "night-plan-narrow");
        await Legible.AssertNotWiderThanItsWindowAsync(page);

        // Out as a file, changed by hand, in again; one with a key that no night has changes nothing.
        var file = Path.Combine(service.DataDirectory, "night.json");
        var exported = page.WaitForDownloadAsync();
        await screen.At("night-export").ClickAsync();
        await (await exported).SaveAsAsync(file);
        var text = await File.ReadAllTextAsync(file, TestContext.Current.CancellationToken);
        await File.WriteAllTextAsync(file, text.Replace("\"Overnight\"", "\"From a file\"", StringComparison.Ordinal), TestContext.Current.CancellationToken);
        await screen.At("night-file").SetInputFilesAsync(file);
        await Expect(screen.At("night-name")).ToHaveValueAsync("From a file");
        await Expect(screen.At("night-job").First).ToHaveAttributeAsync("data-name", "sweep-1");
        await File.WriteAllTextAsync(file, text.Replace("\"name\": \"sweep-1\"", "\"heeter\": 6", StringComparison.Ordinal), TestContext.Current.CancellationToken);
        await screen.At("night-file").SetInputFilesAsync(file);
        await Expect(screen.At("night-taken")).ToContainTextAsync("/jobs/0/heeter");
        await Expect(screen.At("night-name")).ToHaveValueAsync("From a file");

        // What was composed is there after a reload, and nothing shifts when it has come.
        await page.ReloadAsync();
        await Expect(screen.At("night-plan")).ToHaveAttributeAsync("data-state", "good");
        await Expect(screen.At("night-name")).ToHaveValueAsync("From a file");
        await screen.WatchShiftsAsync();
        await screen.At("night-to").FillAsync("05:30");
        await Expect(screen.At("night-plan")).ToContainTextAsync("window to 05:30");
        Assert.Empty(await screen.ShiftsAsync());
        await screen.At("night-example").SelectOptionAsync("both-connections");
        await Expect(screen.At("night-job")).ToHaveCountAsync(3);

        // Positive drive takes two steps.
        await screen.At("night-begin").ClickAsync();
        await Expect(screen.At("night-begin")).ToContainTextAsync("24 V");
        await Expect(screen.At("night-now")).ToHaveCountAsync(0);
        await screen.At("safe").WaitForAsync();
    }
}
