namespace SweepRig.Sweeps.Running;

/// <summary>How long positive drive was held within the last minute. Touched by the owner task alone.</summary>
internal sealed class PositiveHolds
{
    private static readonly TimeSpan Minute = TimeSpan.FromMinutes(1);

    private readonly List<(DateTimeOffset From, DateTimeOffset To)> _ended = [];
    private DateTimeOffset? _begun;

    public void Begin(DateTimeOffset now) => _begun ??= now;

    public void End(DateTimeOffset now)
    {
        if (_begun is { } begun) _ended.Add((begun, now));
        _begun = null;
    }

    public double SecondsWithinMinute(DateTimeOffset now)
    {
        var since = now - Minute;
        _ended.RemoveAll(h => h.To <= since);
        return _ended.Sum(h => (h.To - (h.From > since ? h.From : since)).TotalSeconds);
    }
}
