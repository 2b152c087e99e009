namespace SweepRig.Rigs.Simulated.Physics;

/// <summary>A quantity that wanders: a first-order process (Ornstein and Uhlenbeck 1930, Phys. Rev. 36, 823), stepped evenly and joined by straight lines.</summary>
/// <param name="deviation">Standard deviation in the long run.</param>
/// <param name="seconds">Time constant, above 0.</param>
internal sealed class SlowWander(double deviation, double seconds, NormalNoise noise)
{
    private const long StepMicroseconds = 100_000;

    /// <summary>After so many steps nothing is left of where it was.</summary>
    private const long LongGap = 100_000;

    private readonly double _keep = Math.Exp(-StepMicroseconds / (seconds * 1e6));
    private long _step = -1;
    private double _here, _next;

    public double At(long now)
    {
        if (deviation == 0) return 0;
        var wanted = now / StepMicroseconds;
        if (wanted - _step > LongGap)
        {
            _step = wanted - 1;
            _next = deviation * noise.Next();
        }
        while (_step < wanted)
        {
            _here = _next;
            _next = _keep * _here + deviation * Math.Sqrt(1 - _keep * _keep) * noise.Next();
            _step++;
        }
        return _here + (_next - _here) * (now % StepMicroseconds) / StepMicroseconds;
    }
}
