using System.Globalization;
using System.Net.Http.Json;
using System.Text.Json.Nodes;
using Deque.AxeCore.Playwright;
using Microsoft.Playwright;
using SweepRig.EndToEnd.Tests.Harness;
using static Microsoft.Playwright.Assertions;

namespace SweepRig.EndToEnd.Tests.Page;

/// <summary>Calibrations go out of the page and come in again, and a recorded run is looked at with each of them.</summary>
public sealed class CalibrationRecordsTests
{
    private static readonly DateTimeOffset Now = TimeProvider.System.GetUtcNow();

    [Fact]
    public async Task A_document_is_checked_before_it_is_kept_and_a_bad_one_is_told_fault_by_fault()
    {
        await using var service = await SimulatedService.StartAsync();
        await using var browser = await Browser.LaunchAsync();
        var page = await browser.OpenAsync(service.Url + "/#/calibration");
        await page.GetByTestId("no-records").WaitForAsync();
        var good = CalibrationDocuments.Made("cal-workshop", 1.01, Now.AddDays(-1));

        await ChooseAsync(page, "other.json", CalibrationDocuments.Made("cal-other", 1.01, Now, rig: "RIG-0042"));
        var faults = page.GetByTestId("cal-faults").Locator("li");
        await Expect(faults).ToHaveCountAsync(1);
        await Expect(faults).ToContainTextAsync("RIG-0042");
        await Expect(faults).ToContainTextAsync("SIM-0001");

        await ChooseAsync(page, "bent.json", good.Replace("\"slope\": 1.01", "\"slope\": 3", StringComparison.Ordinal).Replace("\"rangeVolts\": 60", "\"rangeVolts\": 0", StringComparison.Ordinal));
        // Drive and five channels, and the meter.
        await Expect(faults).ToHaveCountAsync(7);
        await Expect(page.GetByTestId("cal-faults")).ToContainTextAsync("/channels/plate/slope");
        await Expect(page.GetByTestId("cal-faults")).ToContainTextAsync("/meter/rangeVolts");
        await AssertLegibleAsync(page, "calibration-import-faults");

        await ChooseAsync(page, "torn.json", good[..300]);
        await Expect(faults).ToContainTextAsync("line ");
        await Expect(page.GetByTestId("cal-keep")).ToHaveCountAsync(0);
        await page.GetByTestId("no-records").WaitForAsync();

        // The keys of the meter keep their reading while another document comes in.
        await page.GetByTestId("cal-name").FillAsync("bench meter");
        await ChooseAsync(page, "rig.json", good);
        await Expect(page.GetByTestId("cal-checked")).ToContainTextAsync("Once kept, the rig works on it.");
        await Expect(page.GetByTestId("cal-import-keep")).ToBeFocusedAsync();
        await page.GetByTestId("no-records").WaitForAsync();
        await page.Keyboard.PressAsync("Enter");
        await Expect(page.GetByTestId("cal-imported")).ToContainTextAsync("The rig works on it from now on.");
        await Expect(page.GetByTestId("cal-record")).ToHaveCountAsync(1);
        await Expect(page.GetByTestId("calibration-in-use")).ToContainTextAsync("cal-workshop");
        await Expect(page.GetByTestId("cal-name")).ToHaveValueAsync("bench meter");

        await ChooseAsync(page, "old.json", CalibrationDocuments.Made("cal-old", 1.02, Now.AddDays(-400)));
        await Expect(page.GetByTestId("cal-checked")).ToContainTextAsync("Stale since");
        await page.GetByTestId("cal-import-keep").ClickAsync();
        await Expect(page.GetByTestId("cal-imported")).ToContainTextAsync("The rig goes on with the one that it had.");
        await Expect(page.GetByTestId("calibration-in-use")).ToContainTextAsync("cal-workshop");
        await ChooseAsync(page, "rig.json", good.Replace("workshop\"", "kitchen\"", StringComparison.Ordinal).Replace("\"id\": \"cal-kitchen\"", "\"id\": \"cal-workshop\"", StringComparison.Ordinal));
        await Expect(faults).ToContainTextAsync("another calibration of this id is kept");

        var export = await page.RunAndWaitForDownloadAsync(() => page.Locator("[data-testid=cal-record][data-id=cal-workshop] [data-testid=cal-export]").ClickAsync());
        Assert.Equal("cal-workshop.json", export.SuggestedFilename);
        Assert.Equal(good, (await File.ReadAllTextAsync(await export.PathAsync(), TestContext.Current.CancellationToken)).TrimEnd());

        var dark = await browser.OpenAsync(service.Url + "/#/calibration", scheme: ColorScheme.Dark);
        await Expect(dark.GetByTestId("cal-record")).ToHaveCountAsync(2);
        await AssertLegibleAsync(dark, "calibration-records-dark");
        await dark.SetViewportSizeAsync(390, 844);
        await AssertLegibleAsync(dark, "calibration-records-narrow");
    }

    [Fact]
    public async Task An_old_run_is_shown_with_each_calibration_of_its_rig_and_every_figure_says_with_which()
    {
        await using var service = await SimulatedService.StartAsync();
        using var started = await service.Http.PostAsJsonAsync("/api/runs", new { plan = TestPlans.Short, tube = new { label = "SKUA-014", type = "6AU6" } }, TestContext.Current.CancellationToken);
        Assert.Equal(202, (int)started.StatusCode);
        var run = (string)JsonNode.Parse(await started.Content.ReadAsStringAsync(TestContext.Current.CancellationToken))!["id"]!;
        await Waiting.UntilAsync("the run to be complete", TimeSpan.FromSeconds(60), async () => (string?)(await service.Http.GetFromJsonAsync<JsonNode>($"/api/runs/{run}"))!["state"] == "complete");
        await using var browser = await Browser.LaunchAsync();
        var page = await browser.OpenAsync(service.Url + "/#/runs");
        await page.GetByTestId("overlay").First.CheckAsync();
        var (inForce, choice) = (page.GetByTestId("in-force").First, page.GetByTestId("calibration-choice"));
        await Expect(inForce).ToHaveTextAsync("△ Nominal values, as measured");
        await Expect(page.GetByTestId("levels-calibration")).ToContainTextAsync("Nominal values");
        await Expect(choice.Locator("option")).ToHaveCountAsync(3);
        var measured = await HighestAsync(page);

        foreach (var document in new[] { CalibrationDocuments.Made("cal-new", 1.01, Now.AddDays(1)), CalibrationDocuments.Made("cal-old", 1.03, Now.AddDays(-400)) })
        {
            using var kept = await service.Http.PostAsJsonAsync("/api/calibrations", new { calibration = JsonNode.Parse(document) }, TestContext.Current.CancellationToken);
            Assert.Equal(200, (int)kept.StatusCode);
        }
        await page.ReloadAsync();
        await page.GetByTestId("overlay").First.CheckAsync();
        await Expect(choice.Locator("option")).ToHaveCountAsync(5);
        await ShownAsync("newest", "Calibrated", 1.01);
        await ShownAsync("cal-old", "△ Stale, made", 1.03);
        await Expect(page.GetByTestId("levels-calibration")).ToContainTextAsync("Stale since");
        await ShownAsync("nominal", "△ Nominal values", 1);
        await ShownAsync("cal-new", "1 day after the run", 1.01);
        await page.GetByTestId("details").First.ClickAsync();
        await Expect(page.GetByTestId("calibration")).ToContainTextAsync("Nominal values");
        var export = await page.RunAndWaitForDownloadAsync(() => page.GetByTestId("export").ClickAsync());
        Assert.EndsWith($"{run}-cal-new.csv", export.SuggestedFilename, StringComparison.Ordinal);
        Assert.Contains(",cal-new,calibrated,", await File.ReadAllTextAsync(await export.PathAsync(), TestContext.Current.CancellationToken), StringComparison.Ordinal);
        await AssertLegibleAsync(page, "runs-by-calibration-light");

        // What cannot be had leaves everything as it was, and says why.
        await page.RouteAsync("**/curves?calibration=cal-old", route => route.FulfillAsync(new()
        {
            Status = 422, ContentType = "application/problem+json",
            Body = """{ "title": "Refused as asked", "refusals": [{ "code": "calibration-unknown", "path": "/calibration", "asked": "calibration cal-old", "allowed": "there is none of that id", "remedy": "Choose another." }] }""",
        }));
        await choice.SelectOptionAsync("cal-old");
        await Expect(page.GetByTestId("overlay-refused")).ToContainTextAsync("there is none of that id");
        await Expect(choice).ToHaveValueAsync("cal-new");
        await Expect(inForce).ToContainTextAsync("1 day after the run");
        await choice.SelectOptionAsync("as-measured");
        await Expect(inForce).ToHaveTextAsync("△ Nominal values, as measured");
        await page.SetViewportSizeAsync(390, 844);
        await AssertLegibleAsync(page, "runs-by-calibration-narrow");

        async Task ShownAsync(string by, string words, double gain)
        {
            await choice.SelectOptionAsync(by);
            await Expect(inForce).ToContainTextAsync(words);
            Assert.Equal(gain * measured, await HighestAsync(page), 0.002 * measured);
        }
    }

    private static async Task<double> HighestAsync(IPage page) =>
        double.Parse((await page.GetByTestId("level-highestOutput").First.GetAttributeAsync("data-value"))!, CultureInfo.InvariantCulture);

    private static Task ChooseAsync(IPage page, string name, string text) => page.GetByTestId("cal-file").SetInputFilesAsync(CalibrationDocuments.File(name, text));

    private static async Task AssertLegibleAsync(IPage page, string picture)
    {
        Assert.True(await page.EvaluateAsync<bool>("() => document.documentElement.scrollWidth <= window.innerWidth"), "The page is wider than its window.");
        await Screenshots.TakeAsync(page, picture, fullPage: true);
        var result = await page.RunAxe(new Deque.AxeCore.Commons.AxeRunOptions
        {
            RunOnly = new Deque.AxeCore.Commons.RunOnlyOptions { Type = "tag", Values = ["wcag2a", "wcag2aa", "wcag21aa"] },
        });
        Assert.True(result.Violations.Length == 0, string.Join('\n', result.Violations.Select(v => $"{v.Id}: {v.Help} ({string.Join(", ", v.Nodes.Select(n => n.Html).Take(3))})")));
    }
}
