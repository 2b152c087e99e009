using System.Globalization;
using Microsoft.Playwright;
using SweepRig.EndToEnd.Tests.Harness;

namespace SweepRig.Benchmarks.WholeSystem;

/// <summary>Rig sample to browser repaint, as the page itself measures it, with three more viewers of which one has stalled.</summary>
public static class LiveLatency
{
    private const int Points = 15_000;

    public static async Task<FigureLine> MeasureAsync()
    {
        await using var bench = await PtyBench.StartWithRigHereAsync(FineDrive.Options);
        await using var browser = await Browser.LaunchAsync();
        var page = await browser.OpenAsync(bench.Url);
        await using var one = await RunWatch.ConnectAsync(bench.Url);
        await using var two = await RunWatch.ConnectAsync(bench.Url);
        using var stalled = await StalledViewer.ConnectAsync(bench.Url);
        // 5 channels of 16 us and 920 us of dwell: 1,000 samples a second.
        var runId = await bench.StartRunAsync(Plans.Negative(Points, dwellMicroseconds: 920));
        await one.Started.WaitAsync(TimeSpan.FromSeconds(30));
        await one.Ended.WaitAsync(TimeSpan.FromSeconds(60));
        await bench.UntilRunAsync(runId, r => (string?)r["state"] == "complete");
        var median = await ReadAsync(page, "data-live-delay-median-ms");
        var worst = await ReadAsync(page, "data-live-delay-p99-ms");
        var repaints = await ReadAsync(page, "data-live-delay-count");
        return new(
            "live-latency",
            $"median {FigureLine.Text(median, "0")} ms, 99th percentile {FigureLine.Text(worst, "0")} ms",
            "median < 40 ms, 99th percentile < 100 ms",
            $"{FigureLine.Text(repaints, "0")} repaints at 1,000 samples/s; other viewers saw {one.Samples} and {two.Samples} of {Points} samples, one more stalled",
            median < 40 && worst < 100 && one.Samples == Points && two.Samples == Points);
    }

    private static async Task<double> ReadAsync(IPage page, string attribute)
    {
        var text = await page.Locator($"[{attribute}]").First.GetAttributeAsync(attribute);
        return double.Parse(text!, CultureInfo.InvariantCulture);
    }
}
