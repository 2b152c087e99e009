using System.Globalization;

namespace SweepRig.Sweeps.Queue;

/// <summary>A window by the clock on the wall: open while it shows <paramref name="From"/> or later and not yet <paramref name="To"/>.</summary>
/// <remarks>
/// So on the night when clocks go forward a window within the hour that is left out never opens, and on the night when they go back a window within the hour that comes twice
/// opens twice. Local times of a zone are those of the IANA time-zone data.
/// </remarks>
/// <param name="From">Time of day.</param>
/// <param name="To">Time of day, of the next day where it is not after <paramref name="From"/>.</param>
public sealed record DayWindow(TimeOnly From, TimeOnly To)
{
    private static readonly TimeSpan Day = TimeSpan.FromDays(1), Look = TimeSpan.FromMinutes(15);

    /// <summary>On a day without a change of the clocks.</summary>
    public TimeSpan Length => Past(To);

    /// <summary>How long after the begin of the window a time of day comes; above 0, at most a day.</summary>
    public TimeSpan Past(TimeOnly time) => time > From ? time - From : Day - (From - time);

    public override string ToString() => string.Create(CultureInfo.InvariantCulture, $"{From:HH:mm} to {To:HH:mm}");

    /// <summary>When it is open, in order; a span under way at the begin starts there.</summary>
    /// <param name="zone">Whose clock.</param>
    /// <param name="from">Where to begin looking.</param>
    /// <param name="within">How far to look.</param>
    public IReadOnlyList<OpenSpan> Open(TimeZoneInfo zone, DateTimeOffset from, TimeSpan within)
    {
        ArgumentNullException.ThrowIfNull(zone);
        var spans = new List<OpenSpan>();
        var end = from + within;
        // Between two changes of the clocks local time runs evenly.
        for (var at = from; at < end;)
        {
            var until = OffsetHoldsUntil(zone, at, end);
            Add(spans, at, until, zone.GetUtcOffset(at));
            at = until;
        }
        return spans;
    }

    private void Add(List<OpenSpan> spans, DateTimeOffset from, DateTimeOffset to, TimeSpan offset)
    {
        var day = new DateTimeOffset((from.UtcDateTime + offset).Date, TimeSpan.Zero) - Day;
        for (; day < to.ToUniversalTime() + offset; day += Day)
        {
            var opens = day + From.ToTimeSpan() - offset;
            var closes = opens + Length;
            if (opens < from) opens = from;
            if (closes > to) closes = to;
            if (opens >= closes) continue;
            if (spans.Count > 0 && spans[^1].ClosesUtc == opens) spans[^1] = spans[^1] with { ClosesUtc = closes };
            else spans.Add(new(opens.ToUniversalTime(), closes.ToUniversalTime()));
        }
    }

    /// <summary>No zone has ever changed its offset twice within so short a look.</summary>
    private static DateTimeOffset OffsetHoldsUntil(TimeZoneInfo zone, DateTimeOffset at, DateTimeOffset end)
    {
        var offset = zone.GetUtcOffset(at);
        var low = at;
        while (low < end)
        {
            var high = low + Look < end ? low + Look : end;
            if (zone.GetUtcOffset(high) == offset)
            {
                low = high;
                continue;
            }
            while (high - low > TimeSpan.FromSeconds(1))
            {
                var middle = low + (high - low) / 2;
                if (zone.GetUtcOffset(middle) == offset) low = middle;
                else high = middle;
            }
            // Offsets change at whole seconds.
            return new(high.UtcTicks / TimeSpan.TicksPerSecond * TimeSpan.TicksPerSecond, TimeSpan.Zero);
        }
        return end;
    }
}

/// <param name="OpensUtc">First instant.</param>
/// <param name="ClosesUtc">First instant after it.</param>
public sealed record OpenSpan(DateTimeOffset OpensUtc, DateTimeOffset ClosesUtc);
