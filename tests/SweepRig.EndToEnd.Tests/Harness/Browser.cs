using Microsoft.Playwright;

namespace SweepRig.EndToEnd.Tests.Harness;

/// <summary>Debian's Chromium, headless, driven through Playwright. Fails, never skips, when it is not installed.</summary>
public sealed class Browser : IAsyncDisposable
{
    private const string Chromium = "/usr/bin/chromium";

    /// <summary>Milliseconds that a busy machine may take until the page shows what it is about to.</summary>
    private const int Patience = 20_000;

    private readonly IPlaywright _playwright;
    private readonly IBrowser _browser;

    private Browser(IPlaywright playwright, IBrowser browser) => (_playwright, _browser) = (playwright, browser);

    public static async Task<Browser> LaunchAsync(params string[] arguments)
    {
        if (!File.Exists(Chromium)) throw new FileNotFoundException("Debian's chromium is not installed. Run tests/run, which installs it.", Chromium);
        var playwright = await Playwright.CreateAsync();
        Assertions.SetDefaultExpectTimeout(Patience);
        var browser = await playwright.Chromium.LaunchAsync(new()
        {
            ExecutablePath = Chromium,
            Args = ["--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking", "--disable-component-update", "--disable-sync",
                .. arguments],
        });
        return new Browser(playwright, browser);
    }

    public async Task<IPage> OpenAsync(string url, int width = 1280, int height = 900, ColorScheme scheme = ColorScheme.Light)
    {
        var page = await _browser.NewPageAsync(new() { ViewportSize = new() { Width = width, Height = height }, ColorScheme = scheme });
        page.SetDefaultTimeout(Patience);
        await page.GotoAsync(url);
        return page;
    }

    public async ValueTask DisposeAsync()
    {
        await _browser.DisposeAsync();
        _playwright.Dispose();
    }
}
