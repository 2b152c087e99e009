namespace SweepRig.Rigs.Simulated.Firmware;

/// <summary>The host's hold on the outputs: it runs out unless renewed.</summary>
/// <param name="lengthMicroseconds">How long one renewal lasts.</param>
internal sealed class Lease(long lengthMicroseconds)
{
    private long _renewedAt;
    private bool _held;

    /// <summary>When it runs out; far in the future while nothing is held.</summary>
    public long EndsAt => _held ? _renewedAt + lengthMicroseconds : long.MaxValue;

    public bool IsHeld(long now) => _held && now < EndsAt;

    public void Renew(long now)
    {
        _renewedAt = now;
        _held = true;
    }

    public void Drop() => _held = false;
}
