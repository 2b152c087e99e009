namespace SweepRig.Analysis.Matching;

/// <summary>Distances of all tubes; for an odd number there is one place more, at no distance from any: whoever is paired with it is left over.</summary>
internal sealed class Distances
{
    private readonly double[] _all;

    public Distances(int tubes, Func<int, int, double> distance)
    {
        ArgumentNullException.ThrowIfNull(distance);
        if (tubes < 2) throw new ArgumentException($"There are {tubes} tubes; a pairing needs 2 or more.", nameof(tubes));
        Tubes = tubes;
        Count = tubes + tubes % 2;
        _all = new double[Count * Count];
        for (var i = 0; i < tubes; i++)
            for (var j = i + 1; j < tubes; j++)
            {
                var d = distance(i, j);
                if (!(d >= 0 && double.IsFinite(d))) throw new ArgumentException($"The distance of tubes {i} and {j} is {d}; give a finite number of 0 or more.", nameof(distance));
                _all[i * Count + j] = _all[j * Count + i] = d;
            }
    }

    /// <summary>Tubes of the lot.</summary>
    public int Tubes { get; }

    /// <summary>Places, an even number.</summary>
    public int Count { get; }

    /// <summary>Tubes farther apart than this are never paired; infinite where all may be.</summary>
    public double Most { get; init; } = double.PositiveInfinity;

    /// <summary>Whether two places may be paired. The place of the one left over may be with any.</summary>
    public bool Allows(int i, int j) => this[i, j] <= Most;

    public double this[int i, int j] => _all[i * Count + j];

    public double Sum(int[] mates)
    {
        double sum = 0;
        for (var i = 0; i < Count; i++)
            if (mates[i] > i) sum += this[i, mates[i]];
        return sum;
    }

    /// <summary>The places nearest to one among those that it may be paired with, nearest first.</summary>
    public int[] Nearest(int place, int most)
    {
        var others = Enumerable.Range(0, Count).Where(j => j != place && Allows(place, j)).ToArray();
        var keys = Array.ConvertAll(others, j => this[place, j]);
        Array.Sort(keys, others);
        return others[..Math.Min(most, others.Length)];
    }
}
