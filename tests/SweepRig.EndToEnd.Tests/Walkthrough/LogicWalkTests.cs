using System.Diagnostics;
using System.Globalization;
using System.Text.RegularExpressions;
using Microsoft.Playwright;
using SweepRig.EndToEnd.Tests.Harness;
using SweepRig.EndToEnd.Tests.Page;
using static Microsoft.Playwright.Assertions;

namespace SweepRig.EndToEnd.Tests.Walkthrough;

/// <summary>From swept tubes to a half adder of named ones, in Chromium alone; ngspice then gives the levels that the page shows.</summary>
public sealed class LogicWalkTests
{
    private const int Tubes = 12;

    private const float Long = 240_000;

    [Fact]
    public async Task Values_are_searched_the_best_pair_is_put_into_a_latch_and_the_netlist_of_a_half_adder_gives_the_levels_shown()
    {
        await using var service = await SimulatedService.StartAsync();
        await using var browser = await Browser.LaunchAsync();
        var screen = new BenchPage(await browser.OpenAsync(service.Url));

        await screen.Page.Keyboard.PressAsync("d");
        await Expect(screen.At("logic-empty")).ToContainTextAsync("no tubes booked in");
        await Expect(screen.At("stage")).ToHaveAttributeAsync("data-tubes", "1");
        await service.BookAsync("Skua", Tubes, "6AU6");
        await SweepAllAsync(screen);

        await SearchAsync(screen);
        await PairAsync(screen);
        await ChooseAsync(screen);
        await AddAsync(screen);
        await ReplaceAsync(screen);
        await TimeAndMapAsync(screen);
        await CheckTheBuildAsync(screen);
        await OnATelephoneAsync(browser, screen.Page.Url);
    }

    private static async Task SweepAllAsync(BenchPage screen)
    {
        await screen.BeginRoundAsync("Skua", points: 41);
        await screen.FinishRoundAsync(240);
    }

    private static async Task SearchAsync(BenchPage screen)
    {
        await screen.At("nav-logic").ClickAsync();
        await Expect(screen.At("stage")).ToHaveAttributeAsync("data-tubes", "1");
        await Expect(screen.At("check")).ToHaveAttributeAsync("data-rows", "2");
        await screen.Page.SetViewportSizeAsync(390, 844);
        await screen.At("logic-of").SelectOptionAsync("lot");
        await screen.At("logic-lot").FillAsync("Skua");
        await screen.WatchShiftsAsync();
        // Each tube is fitted once; one of the crate does not conduct and is left out by itself.
        await Expect(screen.At("stage")).ToHaveAttributeAsync("data-tubes", new Regex("^1[0-2]$"), new() { Timeout = Long });
        var shifts = await screen.ShiftsAsync();
        Assert.True(shifts.Length == 0, string.Join('\n', shifts));
        await screen.Page.SetViewportSizeAsync(1280, 900);
        await LeaveOutWeakAsync(screen);
        var before = await NumberAsync(screen.At("stage"), "data-square");

        await screen.At("search-tolerance").FillAsync("200");
        await screen.At("search").ClickAsync();
        await Expect(screen.At("refusal").First).ToContainTextAsync("0 to 20 % is allowed");
        await screen.At("search-tolerance").FillAsync("5");
        await screen.At("search-series").SelectOptionAsync("E12");
        await screen.At("search").ClickAsync();
        await Expect(screen.At("search-found")).ToHaveAttributeAsync("data-tubes", (await TubesAsync(screen)).ToString(CultureInfo.InvariantCulture), new() { Timeout = Long });
        var found = await NumberAsync(screen.At("search-found"), "data-margin");
        await screen.At("search-take").ClickAsync();
        await Expect(screen.At("stage")).ToHaveAttributeAsync("aria-busy", "false");
        await Waiting.UntilAsync("the margin of the new values", TimeSpan.FromSeconds(60), async () => await NumberAsync(screen.At("stage"), "data-square") >= found);

        // With nominal resistors there is more than with every resistor within its tolerance, and more than before.
        Assert.True(found > 0.3, $"{found} V");
        Assert.True(await NumberAsync(screen.At("stage"), "data-square") > before);
        await Expect(screen.At("loop-plot")).ToHaveAttributeAsync("data-squares", "2");
        await screen.Page.SetViewportSizeAsync(1280, 1500);
        await Screenshots.TakeAsync(screen.Page, "logic-inverter");
        await Legible.AssertAsync(screen.Page, "logic-light");
    }

    /// <summary>The weakest tubes go, until those that are left restore levels for one another.</summary>
    private static async Task LeaveOutWeakAsync(BenchPage screen)
    {
        for (var left = await TubesAsync(screen); left > 8 && !(await NumberAsync(screen.At("stage"), "data-square") > 0); left--)
        {
            await screen.At("leave-out").ClickAsync();
            await Expect(screen.At("stage")).ToHaveAttributeAsync("data-tubes", (left - 1).ToString(CultureInfo.InvariantCulture), new() { Timeout = Long });
        }
    }

    private static async Task<int> TubesAsync(BenchPage screen) => (int)await NumberAsync(screen.At("stage"), "data-tubes");

    private static async Task PairAsync(BenchPage screen)
    {
        await screen.At("logic-gate").SelectOptionAsync("latch");
        await screen.At("logic-pair").ClickAsync();
        var best = screen.At("logic-pair-row").First;
        await best.WaitForAsync(new() { Timeout = Long });
        var tubes = await TubesAsync(screen);
        Assert.Equal(tubes * (tubes - 1) / 2, (int)await NumberAsync(screen.At("pair-says"), "data-looked"));
        Assert.True(await NumberAsync(best, "data-margin") >= await NumberAsync(screen.At("logic-pair-row").Last, "data-margin"));
        await screen.At("logic-pair-take").First.ClickAsync();
        await Expect(screen.At("place").Nth(1)).ToHaveValueAsync((await best.GetAttributeAsync("data-first"))!);
        await Expect(screen.At("place").Nth(3)).ToHaveValueAsync((await best.GetAttributeAsync("data-second"))!);
        await screen.At("places-fill").ClickAsync();
        // Set, reset, and two states while neither is asked for.
        await Expect(screen.At("gate-row")).ToHaveCountAsync(5, new() { Timeout = Long });
        await Expect(screen.At("check")).ToHaveAttributeAsync("data-right", "true");
        await Expect(screen.At("check-remark").Filter(new() { HasText = "example" })).ToHaveCountAsync(0);
    }

    /// <summary>The choice of the whole lot is no worse than the tubes that were put in by hand.</summary>
    private static async Task ChooseAsync(BenchPage screen)
    {
        var byHand = await NumberAsync(screen.At("check"), "data-margin");
        await screen.At("choose").ClickAsync();
        await screen.At("choice").WaitForAsync(new() { Timeout = Long });
        await Expect(screen.At("choice")).ToHaveAttributeAsync("data-firm", "false");
        Assert.True(await NumberAsync(screen.At("choice"), "data-bound") >= await NumberAsync(screen.At("choice"), "data-margin"));
        Assert.True(await NumberAsync(screen.At("choice-runner-up"), "data-margin") <= await NumberAsync(screen.At("choice"), "data-margin") + 2e-3);
        await screen.At("choice-take").ClickAsync();
        await screen.UntilPlacedAsync();
        Assert.Equal(byHand, await NumberAsync(screen.At("placing"), "data-before"), 1e-9);
        // Inputs are held at the levels of another tube's chain than in the choice, hence the tenth.
        Assert.True(await NumberAsync(screen.At("check"), "data-margin") > 0.9 * byHand);
        for (var place = 0; place < 4; place++) await Expect(screen.At("place").Nth(place)).ToHaveValueAsync((await screen.At("choice-row").Nth(place).GetAttributeAsync("data-number"))!);
    }

    private static async Task AddAsync(BenchPage screen)
    {
        await screen.At("logic-gate").SelectOptionAsync("half-adder");
        await screen.At("places-fill").ClickAsync();
        await Expect(screen.At("check")).ToHaveAttributeAsync("data-rows", "4", new() { Timeout = Long });
        await Expect(screen.At("check")).ToHaveAttributeAsync("data-right", "true");
        await Waiting.UntilAsync("the table with tubes of the stock alone", TimeSpan.FromSeconds(60), async () => await screen.At("check-remark").Filter(new() { HasText = "example" }).CountAsync() == 0 && await screen.At("check").CountAsync() == 1);
        for (var place = 0; place < 8; place++) Assert.StartsWith("SKUA-", await screen.At("place").Nth(place).InputValueAsync(), StringComparison.Ordinal);

        var row = screen.Page.Locator("[data-testid='gate-row'][data-inputs='10']");
        var download = await screen.Page.RunAndWaitForDownloadAsync(() => row.GetByTestId("netlist").ClickAsync());
        var said = await NgspiceAsync((await download.PathAsync())!);
        foreach (var signal in new[] { "sum", "carry" })
        {
            var shown = await NumberAsync(row.Locator($"[data-signal='{signal}']"), "data-volts");
            Assert.True(said.TryGetValue(signal, out var simulated) && Math.Abs(simulated - shown) < 1e-3, $"{signal}: shown {shown} V, ngspice {(said.TryGetValue(signal, out var v) ? v : double.NaN)} V");
        }
        Assert.True(said["sum"] > said["carry"]);

        var sheets = await screen.Page.RunAndWaitForDownloadAsync(() => screen.At("report-pdf").ClickAsync(), new() { Timeout = Long });
        Assert.StartsWith("%PDF", await File.ReadAllTextAsync((await sheets.PathAsync())!, TestContext.Current.CancellationToken), StringComparison.Ordinal);

        await screen.At("yield-trials").FillAsync("500");
        await screen.At("yield").ClickAsync();
        await Expect(screen.At("yield-says")).ToHaveAttributeAsync("data-trials", "500", new() { Timeout = Long });
        await screen.Page.SetViewportSizeAsync(1280, 2000);
        await Screenshots.TakeAsync(screen.Page, "logic-half-adder");
        await screen.Page.SetViewportSizeAsync(1280, 900);
    }

    /// <summary>By keyboard alone: a spare in the place of another tube, the check anew, taken back and put in again; parts and sheets then name it.</summary>
    private static async Task ReplaceAsync(BenchPage screen)
    {
        await screen.At("logic-of").SelectOptionAsync("lot");
        await screen.At("places-spares").FocusAsync();
        await screen.Page.Keyboard.PressAsync("Enter");
        var spare = screen.At("place-spare").First;
        await Expect(spare).ToBeEnabledAsync(new() { Timeout = Long });
        var (number, margin) = ((await spare.GetAttributeAsync("data-number"))!, await NumberAsync(spare, "data-margin"));
        var position = (await screen.At("place-spares").Filter(new() { Has = screen.Page.Locator($"[data-number='{number}']") }).First.GetAttributeAsync("data-position"))!;
        var field = screen.Page.GetByLabel(position, new() { Exact = true });
        var (before, replaced) = (await NumberAsync(screen.At("check"), "data-margin"), await field.InputValueAsync());
        await spare.FocusAsync();
        await screen.Page.Keyboard.PressAsync("Enter");
        await Expect(field).ToHaveValueAsync(number);
        await screen.UntilPlacedAsync();
        Assert.Equal((before, margin), (await NumberAsync(screen.At("placing"), "data-before"), await NumberAsync(screen.At("placing"), "data-now")));

        await Expect(screen.At("places-undo")).ToBeFocusedAsync();
        await screen.Page.Keyboard.PressAsync("Enter");
        await Expect(field).ToHaveValueAsync(replaced);
        await Expect(spare).ToBeEnabledAsync(new() { Timeout = Long });
        await spare.ClickAsync();
        await screen.UntilPlacedAsync();
        var named = screen.Page.Locator($"[data-testid='parts-tube'][data-position='{position}']");
        await Expect(named).ToHaveAttributeAsync("data-number", number, new() { Timeout = Long });
        await Screenshots.TakeAsync(screen.Page, "logic-spares", fullPage: true);
        var sheets = await screen.Page.RunAndWaitForDownloadAsync(() => screen.At("report-pdf").ClickAsync(), new() { Timeout = Long });
        var words = await PdfText.OfAsync((await sheets.PathAsync())!);
        // The row of the place in the parts list, and nowhere in drawing or steps the tube that went.
        Assert.Matches($@"(?m)^\s*{Regex.Escape(position)}\s+{Regex.Escape(number)}\s+6AU6\s", words);
        Assert.DoesNotContain(replaced, words, StringComparison.Ordinal);
        await screen.At("places-spares").ClickAsync();
    }

    private static async Task TimeAndMapAsync(BenchPage screen)
    {
        await screen.At("logic-gate").SelectOptionAsync("nor");
        await screen.At("places-fill").ClickAsync();
        await Expect(screen.At("check")).ToHaveAttributeAsync("data-rows", "4", new() { Timeout = Long });
        await screen.UntilPlacedAsync();
        await screen.At("timing").ClickAsync();
        await screen.At("delays").WaitForAsync(new() { Timeout = Long });
        // Some tenths of a microsecond a stage, as electrode and stray capacitances of some 10 pF at some 10 kΩ have it.
        Assert.InRange(await NumberAsync(screen.At("delays"), "data-slowest"), 0.05e-6, 5e-6);
        await Expect(screen.At("wave-plot")).ToHaveCountAsync(1);

        await screen.At("map-limit").FillAsync("0");
        await screen.At("map").ClickAsync();
        await Expect(screen.At("refusal").First).ToContainTextAsync("0.01 to 60 V is allowed");
        await screen.At("map-limit").FillAsync("0.5");
        await screen.At("map").ClickAsync();
        await screen.At("map-plot").WaitForAsync(new() { Timeout = Long });
        Assert.True(await NumberAsync(screen.At("map-plot"), "data-limit") > 0);
        await screen.At("map-plot").FocusAsync();
        await screen.Page.Keyboard.PressAsync("ArrowRight");
        await screen.Page.Keyboard.PressAsync("ArrowUp");
        await Expect(screen.Page.Locator("figcaption").Filter(new() { HasText = "supply of the screens" })).ToContainTextAsync("V: margin");
    }

    /// <summary>A tube that gives nothing: the readings of its node name it.</summary>
    private static async Task CheckTheBuildAsync(BenchPage screen)
    {
        await screen.At("voltages").ClickAsync();
        await screen.At("build-row").First.WaitForAsync(new() { Timeout = Long });
        async Task<string> ExpectedAsync(string row, string node)
        {
            await screen.Page.Locator($"[data-testid='build-row'][data-row='{row}']").ClickAsync();
            return (await screen.Page.Locator($"[data-testid='expected'][data-node='{node}']").GetAttributeAsync("data-volts"))!;
        }
        var up = await ExpectedAsync("a=0 b=0", "y");
        foreach (var (row, volts) in new[] { ("a=0 b=0", up), ("a=1 b=0", up), ("a=0 b=1", await ExpectedAsync("a=0 b=1", "y")), ("a=1 b=1", await ExpectedAsync("a=1 b=1", "y")) })
        {
            await ExpectedAsync(row, "y");
            await screen.Page.Locator("[data-testid='reading'][data-node='y']").FillAsync(volts);
        }
        // A reload costs none of them.
        await screen.Page.ReloadAsync();
        await Expect(screen.At("readings-kept")).ToHaveAttributeAsync("data-count", "4", new() { Timeout = Long });
        await Expect(screen.At("check")).ToHaveAttributeAsync("data-rows", "4", new() { Timeout = Long });
        await screen.At("voltages").ClickAsync();
        await screen.At("build-row").First.WaitForAsync(new() { Timeout = Long });
        await ExpectedAsync("a=1 b=0", "y");
        await Expect(screen.Page.Locator("[data-testid='reading'][data-node='y']")).ToHaveValueAsync(up);
        await screen.At("build-check").ClickAsync();
        await screen.At("verdict").WaitForAsync(new() { Timeout = Long });
        await Expect(screen.At("verdict")).ToHaveAttributeAsync("data-sound", "false");
        await Expect(screen.At("verdict")).ToHaveAttributeAsync("data-parts", new Regex("V_y_1"));
        await screen.At("build-forget").FocusAsync();
        await screen.Page.Keyboard.PressAsync("Enter");
        await Expect(screen.Page.Locator("[data-testid='reading'][data-node='y']")).ToHaveValueAsync("");
        await screen.Page.ReloadAsync();
        await Expect(screen.At("check")).ToHaveAttributeAsync("data-rows", "4", new() { Timeout = Long });
        await Expect(screen.At("readings-kept")).ToHaveCountAsync(0);
        await screen.Page.SetViewportSizeAsync(1280, 900);
        await Legible.AssertAsync(screen.Page, "logic-nor");
    }

    /// <summary>The same address beside the bench: as it was left, legible, no wider than its window.</summary>
    private static async Task OnATelephoneAsync(Browser browser, string url)
    {
        var screen = new BenchPage(await browser.OpenAsync(url, 390, 844, ColorScheme.Dark));
        await Expect(screen.At("check")).ToHaveAttributeAsync("data-rows", "4", new() { Timeout = Long });
        await Expect(screen.At("stage")).Not.ToHaveAttributeAsync("data-tubes", "0", new() { Timeout = Long });
        await Legible.AssertNotWiderThanItsWindowAsync(screen.Page);
        await Legible.AssertAsync(screen.Page, "logic-narrow");
        await Screenshots.TakeAsync(screen.Page, "logic-narrow", fullPage: true);
        await screen.Page.CloseAsync();
    }

    private static async Task<double> NumberAsync(ILocator at, string attribute) =>
        double.TryParse(await at.GetAttributeAsync(attribute), CultureInfo.InvariantCulture, out var value) ? value : double.NaN;

    private static async Task<Dictionary<string, double>> NgspiceAsync(string deck)
    {
        using var process = Process.Start(new ProcessStartInfo("ngspice", ["-b", deck]) { RedirectStandardOutput = true, RedirectStandardError = true })!;
        var output = await process.StandardOutput.ReadToEndAsync(TestContext.Current.CancellationToken);
        await process.WaitForExitAsync(TestContext.Current.CancellationToken);
        // What .print writes: a line of names, a rule, a line of values, a few columns at a time.
        var volts = new Dictionary<string, double>(StringComparer.Ordinal);
        string[] names = [];
        foreach (var words in output.Split('\n').Select(line => line.Split((char[]?)null, StringSplitOptions.RemoveEmptyEntries)).Where(words => words.Length > 1))
        {
            if (words[0] == "Index") names = words;
            else if (words[0] == "0" && words.Length == names.Length)
                for (var i = 1; i < words.Length; i++) volts[names[i][2..^1]] = double.Parse(words[i], CultureInfo.InvariantCulture);
        }
        return volts;
    }
}
