namespace SweepRig.Rigs.Control;

/// <summary>Time of positive drive within the last minute, kept in one bucket a second as a small controller would.</summary>
/// <remarks>
/// The window is the running second and the sixty before it, so up to a second more than a minute is counted: on the safe side.
/// </remarks>
internal sealed class PositiveTime
{
    private const int Window = 61;
    private const long Second = 1_000_000;

    private readonly long[] _buckets = new long[Window];
    private long _second;
    private long _countedTo;
    private long _total;
    private bool _positive;

    public bool IsPositive => _positive;

    /// <summary>The drive has been positive, or not, since the last call; from now on it is as told.</summary>
    public void Set(long now, bool positive)
    {
        Count(now);
        _positive = positive;
    }

    /// <summary>Microseconds of positive drive within the last minute.</summary>
    public long Used(long now)
    {
        Count(now);
        return _total;
    }

    private void Count(long now)
    {
        while (_countedTo < now)
        {
            var second = _countedTo / Second;
            if (second != _second) Enter(second);
            var until = Math.Min(now, (second + 1) * Second);
            if (_positive)
            {
                _buckets[second % Window] += until - _countedTo;
                _total += until - _countedTo;
            }
            _countedTo = until;
        }
        if (now / Second != _second) Enter(now / Second);
    }

    private void Enter(long second)
    {
        // After a long pause every bucket is emptied once.
        for (var s = Math.Max(_second + 1, second - Window + 1); s <= second; s++)
        {
            _total -= _buckets[s % Window];
            _buckets[s % Window] = 0;
        }
        _second = second;
    }
}
