namespace SweepRig.Rigs.Simulated.Physics;

/// <summary>A quantity that approaches its target exponentially: a supply that comes up, a cathode that warms.</summary>
/// <remarks>x(t) = target + (start - target) exp(-(t - t0)/tau). After 40 tau what is left is below 5e-18 of the step and counts as nothing.</remarks>
internal struct Relaxation(double start)
{
    private const double Done = 40;

    private double _start = start;
    private double _tauMicroseconds = 1;
    private long _since;

    public double Target { get; private set; } = start;

    /// <summary>Sets out for another target from wherever the quantity is now.</summary>
    public void SetOut(long now, double target, double tauMicroseconds)
    {
        _start = At(now);
        Target = target;
        _tauMicroseconds = Math.Max(tauMicroseconds, 1e-3);
        _since = now;
    }

    public readonly double At(long now)
    {
        var z = (now - _since) / _tauMicroseconds;
        return z >= Done ? Target : Target + (_start - Target) * Math.Exp(-z);
    }
}
