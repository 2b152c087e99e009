namespace SweepRig.Rigs.Simulated.Physics;

/// <summary>Gaussian noise of unit standard deviation from a seed; the same seed gives the same noise.</summary>
/// <remarks>Marsaglia's polar method (Marsaglia and Bray 1964, SIAM Review 6, 260; from memory): two independent numbers a round.</remarks>
internal sealed class NormalNoise(int seed)
{
    private readonly Random _uniform = new(seed);
    private double _kept;
    private bool _hasKept;

    public double Next()
    {
        if (_hasKept)
        {
            _hasKept = false;
            return _kept;
        }
        while (true)
        {
            var x = 2 * _uniform.NextDouble() - 1;
            var y = 2 * _uniform.NextDouble() - 1;
            var square = x * x + y * y;
            if (square is >= 1 or 0) continue;
            var scale = Math.Sqrt(-2 * Math.Log(square) / square);
            _kept = y * scale;
            _hasKept = true;
            return x * scale;
        }
    }
}
