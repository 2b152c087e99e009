using System.Net.Http.Json;
using System.Text.Json.Nodes;
using SweepRig.Domain.Plans;
using SweepRig.EndToEnd.Tests.Harness;
using static Microsoft.Playwright.Assertions;

namespace SweepRig.EndToEnd.Tests.Page;

/// <summary>A run's page while it fills: what stands in sight stays where it is.</summary>
public sealed class RunShiftTests
{
    [Theory]
    [InlineData(1280, 900)]
    [InlineData(390, 844)]
    public async Task Nothing_shifts_while_a_run_is_read_fitted_and_predicted(int width, int height)
    {
        await using var service = await SimulatedService.StartAsync();
        await RecordAsync(service, PlanExamples.PlateFamily.Plan);
        await using var browser = await Browser.LaunchAsync();
        var screen = new BenchPage(await browser.OpenAsync(service.Url + "/#/runs", width: width, height: height));
        await screen.At("open-run").First.WaitForAsync();

        await screen.WatchShiftsAsync();
        await screen.At("open-run").First.ClickAsync();
        await screen.At("levels").First.WaitForAsync();
        await Expect(screen.At("family-figure")).Not.ToHaveAttributeAsync("data-points", "0");
        await Expect(screen.At("health")).ToContainTextAsync("not screened");
        await AssertStillAsync(screen);

        // What comes of one's own hand may make room for itself, at once; what comes later finds it.
        await screen.Page.Keyboard.PressAsync("f");
        await screen.At("fit-status").WaitForAsync();
        await screen.At("constants").WaitForAsync();
        await AssertStillAsync(screen);
        await screen.At("predict-ohms").FillAsync("22k");
        await screen.At("predict-ohms").PressAsync("Enter");
        await screen.At("prediction-words").WaitForAsync();
        await AssertStillAsync(screen);
    }

    private static async Task AssertStillAsync(BenchPage screen)
    {
        var shifts = await screen.ShiftsAsync();
        Assert.True(shifts.Length == 0, string.Join('\n', shifts));
    }

    private static async Task RecordAsync(SimulatedService service, SweepPlan plan)
    {
        var cancellation = TestContext.Current.CancellationToken;
        using var started = await service.Http.PostAsJsonAsync("/api/runs", new { plan = JsonNode.Parse(PlanDocument.Write(plan)), tube = new { label = "SKUA-014", type = "6AU6" } }, cancellation);
        Assert.Equal(202, (int)started.StatusCode);
        var run = (string)JsonNode.Parse(await started.Content.ReadAsStringAsync(cancellation))!["id"]!;
        await Waiting.UntilAsync("the run to be complete", TimeSpan.FromSeconds(60), async () => (string?)(await service.Http.GetFromJsonAsync<JsonNode>($"/api/runs/{run}"))!["state"] == "complete");
    }
}
