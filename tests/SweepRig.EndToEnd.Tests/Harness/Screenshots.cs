using Microsoft.Playwright;

namespace SweepRig.EndToEnd.Tests.Harness;

/// <summary>
/// Pictures of the page. They go beside the test results; with SWEEPRIG_KEEP_SCREENSHOTS=1 into the folder that the README shows.
/// </summary>
public static class Screenshots
{
    private static readonly string Folder = Environment.GetEnvironmentVariable("SWEEPRIG_KEEP_SCREENSHOTS") == "1"
        ? Path.Combine(Repository.Root, "tests", "SweepRig.EndToEnd.Tests", "Screenshots")
        : Path.Combine(Repository.Root, "tests", "SweepRig.EndToEnd.Tests", "TestResults", "Screenshots");

    public static async Task TakeAsync(IPage page, string name, bool fullPage = false)
    {
        var bytes = await page.ScreenshotAsync(new() { Path = Path.Combine(Folder, name + ".png"), FullPage = fullPage });
        if (bytes.Length < 10_000) throw new InvalidOperationException($"The picture {name} is {bytes.Length} bytes small; the page is probably blank.");
    }
}
