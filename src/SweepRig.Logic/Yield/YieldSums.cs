using System.Numerics;

namespace SweepRig.Logic.Yield;

/// <summary>Sums over trials from which it follows how each factor weighs: of distances, of their squares, and of each factor the sums of numbers, squares and products with the distance.</summary>
internal sealed class YieldSums
{
    private readonly double[] _sums;
    private double _trials;

    public YieldSums(int factors) => _sums = new double[2 + 3 * factors];

    /// <param name="trials">How many were summed.</param>
    /// <param name="lanes">As <see cref="Sum"/> leaves them.</param>
    public YieldSums(int trials, ReadOnlySpan<Vector<double>> lanes)
    {
        (_trials, _sums) = (trials, new double[lanes.Length]);
        for (var at = 0; at < lanes.Length; at++) _sums[at] = Vector.Sum(lanes[at]);
    }

    /// <summary>Sums in lanes, to be cleared before the first.</summary>
    public static Vector<double>[] Lanes(int factors) => new Vector<double>[2 + 3 * factors];

    /// <summary>Adds a trial in each lane.</summary>
    /// <param name="drawn">By factor. A lane of zeros adds nothing.</param>
    /// <param name="apart">Distances from what they are about: a difference of sums keeps its digits only when they are small.</param>
    public static void Sum(Span<Vector<double>> lanes, ReadOnlySpan<Vector<double>> drawn, Vector<double> apart)
    {
        lanes[0] += apart;
        lanes[1] += apart * apart;
        var at = 2;
        foreach (var number in drawn)
        {
            lanes[at++] += number;
            lanes[at++] += number * number;
            lanes[at++] += number * apart;
        }
    }

    public void Add(YieldSums other)
    {
        _trials += other._trials;
        for (var at = 0; at < _sums.Length; at++) _sums[at] += other._sums[at];
    }

    /// <summary>Correlation of a factor with the distance; 0 where one of them does not vary.</summary>
    public double Correlation(int factor)
    {
        var own = _sums.AsSpan(2 + 3 * factor, 3);
        double variance = _sums[1] - _sums[0] * _sums[0] / _trials, square = own[1] - own[0] * own[0] / _trials;
        return variance > 0 && square > 0 ? (own[2] - own[0] * _sums[0] / _trials) / Math.Sqrt(variance * square) : 0;
    }
}
