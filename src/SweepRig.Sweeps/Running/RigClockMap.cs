namespace SweepRig.Sweeps.Running;

/// <summary>
/// Rig clock to host clock. What arrives is late by a delay that varies but is never negative, so the smallest difference seen is nearest to the
/// true offset (the minimum filter of Cristian 1989 and of RFC 5905, section 10). Two windows of half a minute let the estimate follow a
/// crystal's drift: 50 ppm over a minute is 3 ms.
/// </summary>
internal sealed class RigClockMap
{
    private const double WindowMicroseconds = 30e6;

    private double _windowStart = double.NaN;
    private double _smallest = double.PositiveInfinity;
    private double _smallestBefore = double.PositiveInfinity;

    public bool HasEstimate => double.IsFinite(Offset);

    private double Offset => Math.Min(_smallest, _smallestBefore);

    /// <param name="sampledAtTicks">Rig clock, microseconds.</param>
    /// <param name="receivedAtMicroseconds">Host clock, microseconds.</param>
    public void Observe(long sampledAtTicks, double receivedAtMicroseconds)
    {
        if (!(receivedAtMicroseconds - _windowStart < WindowMicroseconds))
        {
            _windowStart = receivedAtMicroseconds;
            (_smallestBefore, _smallest) = (_smallest, double.PositiveInfinity);
        }
        _smallest = Math.Min(_smallest, receivedAtMicroseconds - sampledAtTicks);
    }

    /// <summary>Host clock in microseconds at a reading of the rig clock.</summary>
    /// <exception cref="InvalidOperationException">Nothing was observed yet.</exception>
    public double ToHostMicroseconds(long sampledAtTicks) =>
        HasEstimate ? sampledAtTicks + Offset : throw new InvalidOperationException("SweepRig bug: the rig clock was asked for before it was seen.");

    /// <summary>The rig restarted or another one came: its clock begins anew.</summary>
    public void Reset()
    {
        _windowStart = double.NaN;
        _smallest = _smallestBefore = double.PositiveInfinity;
    }
}
