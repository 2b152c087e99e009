using System.Globalization;
using SweepRig.Sweeps.Queue;

namespace SweepRig.Sweeps.Tests.Queue;

/// <summary>Checked against the IANA time-zone data (RFC 6557), as the system has them, on nights when clocks really change; the instants of the changes are those of the data.</summary>
public sealed class DayWindowTests
{
    [Theory]
    // Central European summer time 2026 begins on 29 March at 01:00 UTC and ends on 25 October at 01:00 UTC (Directive 2000/84/EC, articles 2 and 3).
    [InlineData("Europe/Oslo", "2026-03-28T18:00Z", "02:00", "03:00", "2026-03-30T00:00Z-2026-03-30T01:00Z")]
    [InlineData("Europe/Oslo", "2026-03-28T18:00Z", "01:30", "03:30", "2026-03-29T00:30Z-2026-03-29T01:30Z")]
    [InlineData("Europe/Oslo", "2026-03-28T18:00Z", "02:30", "04:00", "2026-03-29T01:00Z-2026-03-29T02:00Z")]
    [InlineData("Europe/Oslo", "2026-10-24T18:00Z", "02:00", "03:00", "2026-10-25T00:00Z-2026-10-25T02:00Z")]
    [InlineData("Europe/Oslo", "2026-10-24T18:00Z", "02:15", "02:45", "2026-10-25T00:15Z-2026-10-25T00:45Z,2026-10-25T01:15Z-2026-10-25T01:45Z")]
    [InlineData("Europe/Oslo", "2026-10-24T18:00Z", "22:00", "06:00", "2026-10-24T20:00Z-2026-10-25T05:00Z")]
    [InlineData("Europe/Oslo", "2026-03-28T18:00Z", "22:00", "06:00", "2026-03-28T21:00Z-2026-03-29T04:00Z")]
    // United States 2026: second Sunday of March and first of November at 02:00 local time (15 U.S.C. 260a).
    [InlineData("America/New_York", "2026-03-08T02:00Z", "02:00", "03:00", "2026-03-09T06:00Z-2026-03-09T07:00Z")]
    [InlineData("America/New_York", "2026-11-01T02:00Z", "01:00", "02:00", "2026-11-01T05:00Z-2026-11-01T07:00Z")]
    // Lord Howe Island changes by half an hour: 5 April 2026 at 02:00 (+11) back to 01:30 (+10:30), 4 October at 02:00 (+10:30) on to 02:30 (+11).
    [InlineData("Australia/Lord_Howe", "2026-04-04T06:00Z", "01:30", "02:00", "2026-04-04T14:30Z-2026-04-04T15:30Z")]
    [InlineData("Australia/Lord_Howe", "2026-10-03T06:00Z", "02:00", "02:30", "2026-10-04T15:00Z-2026-10-04T15:30Z")]
    [InlineData("Etc/UTC", "2026-03-28T18:00Z", "02:00", "03:00", "2026-03-29T02:00Z-2026-03-29T03:00Z")]
    public void A_window_is_open_while_the_clock_on_the_wall_shows_it(string zone, string at, string from, string to, string expected)
    {
        var window = new DayWindow(TimeOnly.Parse(from, CultureInfo.InvariantCulture), TimeOnly.Parse(to, CultureInfo.InvariantCulture));
        var open = window.Open(TimeZoneInfo.FindSystemTimeZoneById(zone), Time(at), TimeSpan.FromHours(48));
        Assert.Equal(expected, string.Join(',', open.Take(expected.Count(c => c == ',') + 1).Select(s => $"{Text(s.OpensUtc)}-{Text(s.ClosesUtc)}")));
    }

    [Fact]
    public void It_agrees_with_the_local_time_of_every_minute_of_a_year()
    {
        string[] zones = ["Europe/Oslo", "America/New_York", "Australia/Lord_Howe", "Africa/Casablanca", "Asia/Kathmandu"];
        foreach (var zone in zones.Select(TimeZoneInfo.FindSystemTimeZoneById))
        {
            var window = new DayWindow(new(1, 40), new(2, 20));
            var from = new DateTimeOffset(2026, 1, 1, 0, 0, 0, TimeSpan.Zero);
            var open = window.Open(zone, from, TimeSpan.FromDays(365));
            var place = 0;
            for (var minute = 0; minute < 365 * 24 * 60; minute++)
            {
                var at = from.AddMinutes(minute);
                while (place < open.Count && open[place].ClosesUtc <= at) place++;
                var isOpen = place < open.Count && open[place].OpensUtc <= at;
                var local = TimeOnly.FromDateTime(TimeZoneInfo.ConvertTime(at, zone).DateTime);
                Assert.True(isOpen == (local >= window.From && local < window.To), $"{zone.Id} {at:u}: local time is {local}, the window is {(isOpen ? "open" : "shut")}");
            }
        }
    }

    [Fact]
    public void Under_way_it_begins_where_the_look_begins()
    {
        var open = new DayWindow(new(22, 0), new(6, 0)).Open(TimeZoneInfo.Utc, Time("2026-05-01T02:00Z"), TimeSpan.FromHours(24));
        Assert.Equal([new(Time("2026-05-01T02:00Z"), Time("2026-05-01T06:00Z")), new OpenSpan(Time("2026-05-01T22:00Z"), Time("2026-05-02T02:00Z"))], open);
    }

    private static DateTimeOffset Time(string text) => DateTimeOffset.Parse(text, CultureInfo.InvariantCulture);

    private static string Text(DateTimeOffset time) => time.UtcDateTime.ToString("yyyy-MM-dd'T'HH:mm'Z'", CultureInfo.InvariantCulture);
}
