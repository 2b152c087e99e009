namespace SweepRig.Analysis.Fitting;

/// <summary>A sum that keeps what rounding drops (Neumaier 1974, Z. Angew. Math. Mech. 54, 39; from memory).</summary>
internal struct CompensatedSum
{
    private double _sum, _dropped;

    public readonly double Value => _sum + _dropped;

    public void Add(double term)
    {
        var next = _sum + term;
        _dropped += Math.Abs(_sum) >= Math.Abs(term) ? _sum - next + term : term - next + _sum;
        _sum = next;
    }
}
