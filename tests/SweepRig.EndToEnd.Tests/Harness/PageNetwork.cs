using Microsoft.Playwright;

namespace SweepRig.EndToEnd.Tests.Harness;

/// <summary>
/// The network under one page, to be cut and joined. The browser's own offline switch leaves open WebSockets alone, so this closes them itself and fails new ones.
/// </summary>
public sealed class PageNetwork : IAsyncDisposable
{
    private readonly IPage _page;

    private PageNetwork(IPage page) => _page = page;

    /// <summary>Reloads the page with its sockets in hand.</summary>
    public static async Task<PageNetwork> UnderAsync(IPage page)
    {
        await page.AddInitScriptAsync(
            """
            {
              const Real = window.WebSocket;
              const open = new Set();
              window.networkCut = false;
              window.WebSocket = class extends Real {
                constructor(url, protocols) {
                  super(window.networkCut ? 'ws://127.0.0.1:9' : url, protocols);
                  open.add(this);
                  this.addEventListener('close', () => open.delete(this));
                }
              };
              window.cutNetwork = () => { window.networkCut = true; for (const socket of open) socket.close(); };
            }
            """);
        await page.ReloadAsync();
        return new PageNetwork(page);
    }

    public async Task CutAsync()
    {
        await _page.RouteAsync("**/*", route => route.AbortAsync());
        await _page.EvaluateAsync("() => window.cutNetwork()");
    }

    public async Task JoinAsync()
    {
        await _page.UnrouteAllAsync();
        await _page.EvaluateAsync("() => { window.networkCut = false; }");
    }

    public async ValueTask DisposeAsync() => await _page.UnrouteAllAsync();
}
