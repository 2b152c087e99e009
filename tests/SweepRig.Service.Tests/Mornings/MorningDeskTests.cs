using System.Net;
using Microsoft.Extensions.DependencyInjection;
using Microsoft.Extensions.Logging.Abstractions;
using Microsoft.Extensions.Time.Testing;
using SweepRig.Domain;
using SweepRig.Domain.Watching;
using SweepRig.Service.Hosting;
using SweepRig.Service.Mornings;
using SweepRig.Service.Stations;
using SweepRig.Service.Tests.Support;
using SweepRig.Service.Tests.Watching;
using SweepRig.Service.Watching.Alarms;

namespace SweepRig.Service.Tests.Mornings;

public sealed class MorningDeskTests
{
    [Fact]
    public async Task The_service_tells_the_morning_as_json_page_and_pdf()
    {
        await using var bench = await TestBench.StartAsync();
        var view = await bench.GetAsync("/api/morning");
        Assert.Equal("rig-1 does not answer.", (string?)view["headline"]);
        var html = await bench.Http.GetStringAsync("/api/morning/report.html?since=2h", TestContext.Current.CancellationToken);
        Assert.Contains("<p>rig-1 does not answer.</p>", html, StringComparison.Ordinal);
        var pdf = await bench.Http.GetByteArrayAsync("/api/morning/report.pdf?paper=letter", TestContext.Current.CancellationToken);
        Assert.Equal("%PDF-"u8, pdf.AsSpan(0, 5));
        foreach (var query in new[] { "since=soon", "since=40d", "until=never" })
            await TestBench.ProblemAsync(await bench.SendAsync("GET", $"/api/morning?{query}", null), HttpStatusCode.UnprocessableEntity);
    }

    /// <summary>
    /// The last Sunday of October 2026 in Oslo, whose clock goes back from 03:00 to 02:00, and the last of March, whose clock skips 02:00 to 03:00 (Directive 2000/84/EC, articles 2 and 3; IANA time-zone data, rule EU): one
    /// report a day, at the first time that the clock shows the stated time or a later one.
    /// </summary>
    [Theory]
    [InlineData("2026-10-24T22:30:00Z", "02:30", "2026-10-25T00:30:00Z")]
    [InlineData("2026-03-28T23:30:00Z", "02:30", "2026-03-29T01:00:00Z")]
    [InlineData("2026-11-26T23:30:00Z", "07:00", "2026-11-27T06:00:00Z")]
    public async Task One_report_a_day_also_on_nights_that_change_the_clock(string from, string at, string due)
    {
        await using var bench = await TestBench.StartAsync();
        var (time, told) = (new FakeTimeProvider(DateTimeOffset.Parse(from, System.Globalization.CultureInfo.InvariantCulture)), new Told());
        var config = AlarmConfig.None with { Report = new(TimeOnly.Parse(at, System.Globalization.CultureInfo.InvariantCulture), TimeZoneInfo.FindSystemTimeZoneById("Europe/Oslo"), []) };
        await using var alarms = new AlarmDesk(Outcome<AlarmConfig>.Accept(config), () => null, new AlarmJournal(bench.Directory, NullLogger.Instance), (_, _, _) => Task.CompletedTask, () => told, time);
        var nights = new NightEnds();
        using var desk = new MorningDesk(
            bench.Services.GetRequiredService<BenchOptions>(), bench.Services.GetRequiredService<MorningReader>(), bench.Services.GetRequiredService<StationList>(), alarms, nights, told, time, NullLogger<MorningDesk>.Instance);
        await desk.StartAsync(TestContext.Current.CancellationToken);
        var folder = Path.Combine(bench.Directory, MorningDesk.Folder);
        string[] Made() => Directory.Exists(folder) ? [.. Directory.GetFiles(folder, "*.html")] : [];
        await Eventually.HoldsAsync("a report is made", () =>
        {
            if (Made().Length > 0) return true;
            if (time.GetUtcNow() < DateTimeOffset.Parse(due, System.Globalization.CultureInfo.InvariantCulture).AddMinutes(30)) time.Advance(TimeSpan.FromSeconds(30));
            return Made().Length > 0;
        });
        var local = TimeZoneInfo.ConvertTime(DateTimeOffset.Parse(due, System.Globalization.CultureInfo.InvariantCulture), config.Report!.Zone);
        Assert.Equal(Path.Combine(folder, $"morning-{local:yyyy-MM-dd}.html"), Assert.Single(Made()));
        Assert.True(time.GetUtcNow() >= DateTimeOffset.Parse(due, System.Globalization.CultureInfo.InvariantCulture), $"made at {time.GetUtcNow():u}");
        // The hour that comes twice makes no second one; the end of a night makes one of its own.
        for (var i = 0; i < 240; i++) time.Advance(TimeSpan.FromSeconds(30));
        nights.Hear(BenchEvent.Of(time.GetUtcNow(), "rig-1", EventSeverity.Note, EventKind.NightEnded, "The night is over."));
        await Eventually.HoldsAsync("the night's report is made", () =>
        {
            time.Advance(TimeSpan.FromSeconds(30));
            return Made().Any(f => Path.GetFileName(f).StartsWith("night-", StringComparison.Ordinal));
        });
        Assert.Single(Made(), f => Path.GetFileName(f).StartsWith("morning-", StringComparison.Ordinal));
        await desk.StopAsync(TestContext.Current.CancellationToken);
    }
}
