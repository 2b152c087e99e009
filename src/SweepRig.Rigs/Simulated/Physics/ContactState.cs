using SweepRig.Tubes.Lots;

namespace SweepRig.Rigs.Simulated.Physics;

/// <summary>A contact that comes and goes by itself, each stay exponentially distributed, and far quicker for a moment after a tap.</summary>
internal sealed class ContactState(LooseContact? contact, int seed)
{
    private const long TapMicroseconds = 400_000;
    private const double TappedSeconds = 0.005;

    private readonly Random _random = new(seed);
    private bool _bad;
    private long _next;
    private long _tappedUntil = long.MinValue;

    /// <summary>Resistance at a time that never runs backwards, ohms.</summary>
    public double OhmsAt(long now)
    {
        if (contact is null) return 0;
        while (_next <= now)
        {
            _bad = !_bad;
            var mean = _next < _tappedUntil ? TappedSeconds : _bad ? contact.BadSeconds : contact.GoodSeconds;
            _next += 1 + (long)(-mean * 1e6 * Math.Log(1 - _random.NextDouble()));
        }
        return _bad ? contact.Ohms : 0;
    }

    public void Tap(long now)
    {
        if (contact is null) return;
        _tappedUntil = now + TapMicroseconds;
        _next = Math.Min(_next, now);
    }
}
