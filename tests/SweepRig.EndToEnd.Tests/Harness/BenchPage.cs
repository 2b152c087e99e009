using System.Globalization;
using Microsoft.Playwright;

namespace SweepRig.EndToEnd.Tests.Harness;

/// <summary>The Bench screen as a person uses it.</summary>
public sealed class BenchPage(IPage page)
{
    public IPage Page => page;

    public ILocator State => At("run-state");

    public ILocator Trip => At("trip");

    public ILocator At(string testId) => page.GetByTestId(testId);

    public async Task NameTubeAsync(string label, string type)
    {
        await At("tube-label").FillAsync(label);
        await At("tube-type").FillAsync(type);
    }

    /// <summary>Both steps of a permit.</summary>
    public async Task GrantPermitAsync(double ceilingVolts, string reason)
    {
        await At("permit-ceiling").FillAsync(ceilingVolts.ToString(CultureInfo.InvariantCulture));
        await At("permit-minutes").FillAsync("5");
        await At("permit-reason").FillAsync(reason);
        await At("permit-prepare").ClickAsync();
        await At("permit-confirm").ClickAsync();
        await At("permit-left").WaitForAsync();
    }

    /// <summary>Starts what the form holds and waits for its end, and for no other run's.</summary>
    public async Task SweepAsync()
    {
        var before = await At("shown-run").CountAsync() > 0 ? await At("shown-run").GetAttributeAsync("data-run-id") : null;
        await At("start").ClickAsync();
        await Waiting.UntilAsync("another run", TimeSpan.FromSeconds(20), async () =>
            await At("shown-run").CountAsync() > 0 && await At("shown-run").GetAttributeAsync("data-run-id") != before);
        await UntilStateAsync("complete");
    }

    public async Task<int> PointsAsync() => int.Parse(await At("points-count").InnerTextAsync(), CultureInfo.InvariantCulture);

    public Task UntilPointsAsync(int least, double seconds = 20) =>
        Waiting.UntilAsync($"{least} points on the page", TimeSpan.FromSeconds(seconds), async () =>
            await At("points-count").CountAsync() > 0 && await PointsAsync() >= least);

    public Task UntilStateAsync(string state, double seconds = 30) =>
        Waiting.UntilAsync($"the run to be {state}", TimeSpan.FromSeconds(seconds), async () =>
        {
            if (await State.CountAsync() == 0) return false;
            var shown = await State.GetAttributeAsync("data-state");
            // A run that tripped will not be complete, and the cause may have nothing to do with the page.
            if (state == "complete" && shown == "tripped") throw new InvalidOperationException("The run is tripped: " + await Trip.InnerTextAsync());
            return shown == state;
        });

    /// <summary>That the page lost the service, in sight wherever one has scrolled to, and read out.</summary>
    public async Task UntilItSaysThatItIsOldAsync(float seconds = 20)
    {
        await page.Keyboard.PressAsync("End");
        await Assertions.Expect(At("stale")).ToBeInViewportAsync(new() { Ratio = 1, Timeout = seconds * 1000 });
        // No assertion of the test library: the figures are built with this file and have none.
        if (!await At("stale").EvaluateAsync<bool>("e => e.closest('[role=status], [aria-live]') !== null"))
            throw new InvalidOperationException("Nobody reads out that the page is old.");
    }

    /// <summary>Begins a round over a lot with the plan of the Bench, of so many points.</summary>
    public async Task BeginRoundAsync(string lot, int points)
    {
        await page.Keyboard.PressAsync("b");
        await At("plan-points").FillAsync(points.ToString(CultureInfo.InvariantCulture));
        await At("estimate").WaitForAsync();
        await At("nav-stock").ClickAsync();
        await At("to-round").ClickAsync();
        await At("round-lot").SelectOptionAsync(lot);
        await At("round-plan").SelectOptionAsync(new SelectOptionValue { Label = "as planned on the Bench" });
        await At("round-start").ClickAsync();
    }

    /// <summary>Does whatever a round asks for with its first button, until it is over.</summary>
    public Task FinishRoundAsync(double seconds = 60) => Waiting.UntilAsync("the round to be over", TimeSpan.FromSeconds(seconds), async () =>
    {
        await PressRoundEntryAsync();
        return await At("round-prompt").GetAttributeAsync("data-over") == "true";
    });

    /// <summary>The first button of what a round asks for, if there is one; in one step on the page, as between two looks from here it may be another one's.</summary>
    public async Task PressRoundEntryAsync() =>
        await page.EvaluateAsync("() => document.querySelector('[data-testid=\"round-entry\"]:not(:disabled)')?.click()");

    /// <summary>The tubes that were last put into a gate are checked.</summary>
    public Task UntilPlacedAsync() => Waiting.UntilAsync("the margin of the tubes that were put in", TimeSpan.FromSeconds(60), async () =>
        await At("placing").CountAsync() > 0 && await At("placing").GetAttributeAsync("data-now") is { Length: > 0 });

    /// <summary>All keys in one go, as a scanner sends them, into whatever has the focus; a slow machine cannot stretch them.</summary>
    public Task ScanAsync(string number) => page.EvaluateAsync(
        """
        number => {
          for (const key of [...number, 'Enter']) {
            const at = document.activeElement;
            if (at.dispatchEvent(new KeyboardEvent('keydown', { key, bubbles: true, cancelable: true })) && key.length === 1) document.execCommand('insertText', false, key);
          }
        }
        """,
        number);

    /// <summary>Every layout shift since <see cref="WatchShiftsAsync"/>, with what moved and from where to where.</summary>
    public Task<string[]> ShiftsAsync() => page.EvaluateAsync<string[]>("() => window.shiftsSeen");

    /// <summary>Layout Instability API (W3C): tells every shift that no input caused.</summary>
    public Task WatchShiftsAsync() => page.EvaluateAsync(
        """
        () => {
          window.shiftsSeen = [];
          const name = n => !n ? '(gone)' : n.nodeType === 3 ? `"${n.textContent.trim()}" in ${name(n.parentElement)}` : n.dataset.testid ?? `${n.tagName.toLowerCase()}.${n.className}`;
          const box = r => `${r.x},${r.y} ${r.width}x${r.height}`;
          new PerformanceObserver(list => {
            for (const entry of list.getEntries()) {
              if (entry.hadRecentInput) continue;
              // A node that another took the place of is told too; it did not move.
              const elsewhere = entry.sources.filter(s => box(s.previousRect) !== box(s.currentRect));
              if (entry.sources.length > 0 && elsewhere.length === 0) continue;
              const moved = elsewhere.map(s => `${name(s.node)} from ${box(s.previousRect)} to ${box(s.currentRect)}`);
              window.shiftsSeen.push(`${entry.value}: ${moved.join('; ')}`);
            }
          }).observe({ type: 'layout-shift', buffered: false });
        }
        """);
}
