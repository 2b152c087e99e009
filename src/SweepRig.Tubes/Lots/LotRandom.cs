namespace SweepRig.Tubes.Lots;

/// <summary>Random numbers of one lot; the same seed gives the same lot.</summary>
internal sealed class LotRandom(int seed)
{
    private readonly Random _random = new(seed);

    public double Uniform(double from, double to) => from + (to - from) * _random.NextDouble();

    /// <summary>Even on a logarithmic scale; both ends above 0.</summary>
    public double LogUniform(double from, double to) => from * Math.Pow(to / from, _random.NextDouble());

    /// <summary>Exponentially distributed.</summary>
    public double Exponential(double mean) => -mean * Math.Log(1 - _random.NextDouble());

    /// <summary>Standard normal. Box and Muller 1958, Ann. Math. Statist. 29, 610 (from memory). 1 - NextDouble is never 0.</summary>
    public double Normal() => Math.Sqrt(-2 * Math.Log(1 - _random.NextDouble())) * Math.Cos(2 * Math.PI * _random.NextDouble());

    public int Below(int count) => _random.Next(count);
}
