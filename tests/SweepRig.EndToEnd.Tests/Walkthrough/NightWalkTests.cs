using System.Globalization;
using System.Text.Json.Nodes;
using SweepRig.EndToEnd.Tests.Harness;
using SweepRig.EndToEnd.Tests.Page;
using SweepRig.Service.Tests.Watching;
using static Microsoft.Playwright.Assertions;

namespace SweepRig.EndToEnd.Tests.Walkthrough;

/// <summary>A night from the page: composed, begun, its service killed twice, and looked at in the morning. It makes the pictures of the README.</summary>
public sealed class NightWalkTests
{
    private const int Steps = 15;

    [Fact]
    public async Task A_night_begun_from_the_page_goes_on_after_two_kills_and_tells_in_the_morning_how_it_went()
    {
        await using var phone = await WebhookReceiver.ListenAsync();
        await using var keepers = new MailServer();
        await using var service = await SimulatedService.StartAsync(prepare: directory => File.WriteAllText(Path.Combine(directory, "alarms.json"), Alarms(phone.Url, keepers.Port)));
        await service.BookAsync("Skua", 40, "6AU6");
        await using var browser = await Browser.LaunchAsync();
        var screen = new BenchPage(await browser.OpenAsync(service.Url + "/#/night"));
        var page = screen.Page;

        await ComposeAsync(screen);
        await Legible.AssertAsync(page, "night-plan-light");
        await page.EvaluateAsync("() => scrollTo(0, 0)");
        await Screenshots.TakeAsync(page, "night-plan");
        await screen.At("night-begin").ClickAsync();
        var now = screen.At("night-now");
        await now.WaitForAsync();
        var night = await now.GetAttributeAsync("data-night");

        // Twice like a power failure, with the page left open; it finds the service again, and the night goes on by itself.
        for (var kill = 1; kill <= 2; kill++)
        {
            await UntilOverAsync(screen, 3 * kill);
            await service.KillAndStartAgainAsync(sameAddress: true);
            await Expect(now).ToHaveAttributeAsync("data-taken-up", kill.ToString(CultureInfo.InvariantCulture));
            await Expect(now).ToHaveAttributeAsync("data-night", night!);
        }
        await Expect(screen.At("night-taken-up")).ToContainTextAsync("2 times");

        // A person holds it, and lets it go on.
        await screen.At("night-hold").ClickAsync();
        await screen.At("night-hold-why").FillAsync("a look at socket 1");
        await screen.At("night-hold-confirm").ClickAsync();
        await Expect(screen.At("night-doing")).ToContainTextAsync("a look at socket 1");
        await Legible.AssertAsync(page, "night-now-light");
        await screen.At("night-go-on").ClickAsync();
        // When it is over, the same address tells how it went.
        await Expect(screen.At("night-morning")).ToHaveAttributeAsync("data-over", "true", new() { Timeout = 60_000 });

        // Both ways were told of the kills: by webhook what happened and what to do, by mail to the keepers.
        await Waiting.UntilAsync("the alarms", TimeSpan.FromSeconds(30), () => Task.FromResult(phone.Posts.Any(Tells) && keepers.Mails.Any(m => m.Contains("service has started again", StringComparison.OrdinalIgnoreCase))));
        Assert.All(phone.Posts, post => Assert.NotEqual("", (string?)post["subject"]));
        Assert.All(keepers.Mails, mail => Assert.Contains("keepers@museum.example", mail, StringComparison.Ordinal));

        await InTheMorningAsync(screen, service);
    }

    private static bool Tells(JsonNode post) => post["events"]!.AsArray().Any(e => (string?)e!["kind"] == "service-restarted");

    private static string Alarms(string webhook, int mailPort) =>
        $$"""
        {
          "format": "alarms/1",
          "ways": [
            { "name": "phone", "webhook": { "url": "{{webhook}}/night" } },
            { "name": "keepers", "mail": { "host": "127.0.0.1", "port": {{mailPort}}, "security": "none", "from": "sweeprig@museum.example", "to": ["keepers@museum.example"] } }
          ],
          "rules": [ { "least": "note", "to": ["phone", "keepers"] } ]
        }
        """;

    private static async Task ComposeAsync(BenchPage screen)
    {
        // A window around this moment, whatever the hour.
        var utc = TimeProvider.System.GetUtcNow();
        await screen.At("night-name").FillAsync("Skua, overnight");
        await screen.At("night-zone").FillAsync("Etc/UTC");
        await screen.At("night-from").FillAsync(utc.AddHours(-1).ToString("HH:mm", CultureInfo.InvariantCulture));
        await screen.At("night-to").FillAsync(utc.AddHours(5).ToString("HH:mm", CultureInfo.InvariantCulture));
        foreach (var tube in new[] { "SKUA-014", "SKUA-020", "SKUA-031" }) await screen.ScanAsync(tube);
        await screen.At("job-open").ClickAsync();
        await screen.At("job-do").SelectOptionAsync("sweep");
        await screen.At("job-name").FillAsync("first-look");
        await screen.At("job-open").ClickAsync();
        await screen.At("job-add").ClickAsync();
        await screen.At("job-name").FillAsync("again");
        await screen.At("job-after").CheckAsync();
        await screen.At("job-if-passed").CheckAsync();
        await screen.At("job-again-minutes").FillAsync("0.1");
        await screen.At("job-again-times").FillAsync("4");
        await Expect(screen.At("night-plan")).ToHaveAttributeAsync("data-steps", Steps.ToString(CultureInfo.InvariantCulture));
        await Expect(screen.At("night-plan")).ToHaveAttributeAsync("data-missed", "0");
    }

    private static Task UntilOverAsync(BenchPage screen, int steps) => Waiting.UntilAsync($"{steps} steps done with", TimeSpan.FromSeconds(60), async () =>
        int.Parse((await screen.At("night-now").GetAttributeAsync("data-over"))!, CultureInfo.InvariantCulture) >= steps);

    /// <summary>On a page of its own, as whoever comes to the bench opens it.</summary>
    private static async Task InTheMorningAsync(BenchPage screen, SimulatedService service)
    {
        var page = screen.Page;
        await page.GotoAsync(service.Url + "/#/bench");
        await page.ReloadAsync();
        await page.Keyboard.PressAsync("n");
        await Expect(screen.At("night-morning")).ToHaveAttributeAsync("data-over", "true");
        await Expect(screen.At("night-morning")).ToHaveAttributeAsync("data-passed", Steps.ToString(CultureInfo.InvariantCulture));
        await Expect(screen.At("morning-bench")).Not.ToHaveAttributeAsync("data-tone", "tripped");
        await Expect(screen.At("morning-kinds").Locator("[data-kind='service-restarted']")).ToHaveAttributeAsync("data-count", "2");
        await Expect(screen.At("morning-alarms")).Not.ToHaveAttributeAsync("data-delivered", "0");
        var pdf = await service.Http.GetByteArrayAsync(await screen.At("morning-pdf").GetAttributeAsync("href"), TestContext.Current.CancellationToken);
        Assert.Equal("%PDF"u8.ToArray(), pdf[..4]);
        await Expect(screen.At("night-timeline")).ToHaveAttributeAsync("data-happened", Steps.ToString(CultureInfo.InvariantCulture));
        await Expect(screen.At("morning-bench")).ToBeInViewportAsync();
        await Legible.AssertAsync(page, "night-morning-light");
        await page.EvaluateAsync("() => scrollTo(0, 0)");
        await Screenshots.TakeAsync(page, "night-morning");
        await page.SetViewportSizeAsync(390, 844);
        await Legible.AssertNotWiderThanItsWindowAsync(page);
    }
}
