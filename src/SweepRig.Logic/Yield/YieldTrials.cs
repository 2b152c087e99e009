using System.Numerics;
using SweepRig.Analysis.Uncertainty;

namespace SweepRig.Logic.Yield;

/// <summary>Draws trials and solves them, as many side by side as the processor has lanes. Belongs to one thread.</summary>
internal sealed class YieldTrials
{
    private readonly NominalTable _table;
    private readonly YieldFactors _factors;
    private readonly ulong _seed;
    private readonly TableBench _bench;
    private readonly LaneBench? _lanes;
    private readonly double[][] _at;
    private readonly bool[] _fallen = new bool[LaneBench.Width];

    /// <param name="lanes">Null for a network that the lanes cannot take: it is solved trial by trial.</param>
    public YieldTrials(NominalTable table, LaneTable? lanes, YieldFactors factors, ulong seed)
    {
        (_table, _factors, _seed) = (table, factors, seed);
        _bench = new(table);
        _lanes = lanes is null ? null : new(lanes);
        _at = [.. Enumerable.Range(0, LaneBench.Width).Select(_ => new double[factors.Names.Count])];
    }

    /// <summary>Rows solved so far.</summary>
    public long Solutions { get; private set; }

    /// <summary>Trials so far in which the network did not stay in the state of a row.</summary>
    public int FellOver { get; private set; }

    /// <param name="first">The first trial; as many follow as there are distances, at most <see cref="LaneBench.Width"/>.</param>
    /// <param name="distances">Written: the worst of each trial. Unit: V.</param>
    /// <param name="drawn">Written: what each trial drew, all numbers of one after those of another.</param>
    public void Run(int first, Span<double> distances, Span<float> drawn)
    {
        for (var lane = 0; lane < distances.Length; lane++)
        {
            Draw(first + lane, _at[lane]);
            for (var f = 0; f < _at[lane].Length; f++) drawn[lane * _at[lane].Length + f] = (float)_at[lane][f];
        }
        // Lanes without a trial carry the last one.
        for (var lane = distances.Length; lane < _at.Length; lane++) _at[distances.Length - 1].CopyTo(_at[lane], 0);
        distances.Fill(double.PositiveInfinity);
        Array.Clear(_fallen);
        if (_lanes is not null) _factors.Put(_at, _lanes);
        for (var row = 0; row < _table.Rows.Count; row++)
        {
            Solutions += distances.Length;
            var least = _lanes is not null && _lanes.Solve(row) ? _lanes.Distance(row) : new Vector<double>(double.NaN);
            for (var lane = 0; lane < distances.Length; lane++)
            {
                // What looks wrong may be another state of a network that has several; the bench that follows the network judges it.
                var distance = least[lane] > 0 ? least[lane] : ByItself(lane, row);
                distances[lane] = Math.Min(distances[lane], distance);
            }
        }
        FellOver += _fallen.Count(f => f);
    }

    private double ByItself(int lane, int row)
    {
        _factors.Put(_at[lane], _bench);
        var distance = _bench.Distance(row);
        _fallen[lane] |= _bench.FellOver;
        return distance;
    }

    private void Draw(int trial, double[] at)
    {
        // A stream of its own for each trial: what one trial draws does not hang on how many came before on its thread.
        var random = new RandomStream(_seed + 0x9E3779B97F4A7C15UL * (ulong)(trial + 1));
        for (var f = 0; f < at.Length; f++) at[f] = !_factors.Varies[f] ? 0 : _factors.IsBounded[f] ? 2 * random.Uniform() - 1 : random.Normal();
    }
}
