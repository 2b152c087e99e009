using System.Numerics;
using System.Runtime.InteropServices;

namespace SweepRig.Logic.Yield;

/// <summary>Draws trials and solves them, as many side by side as the processor has lanes. Belongs to one thread.</summary>
internal sealed class YieldTrials
{
    private readonly NominalTable _table;
    private readonly YieldFactors _factors;
    private readonly ulong _seed;
    private readonly TableBench _bench;
    private readonly LaneBench? _lanes;
    private readonly double _nominal;
    // What the trials of the lanes drew, one after the other and by factor.
    private readonly double[][] _drawn;
    private readonly Vector<double>[] _at, _sums;
    private readonly bool[] _fallen = new bool[LaneBench.Width];

    /// <param name="lanes">Null for a network that the lanes cannot take: it is solved trial by trial.</param>
    public YieldTrials(NominalTable table, LaneTable? lanes, YieldFactors factors, ulong seed)
    {
        (_table, _factors, _seed) = (table, factors, seed);
        _bench = new(table);
        _lanes = lanes is null ? null : new(lanes);
        _nominal = table.Rows.Min(r => table.Least(r.Wanted, r.Start));
        var count = factors.Names.Count;
        _drawn = [.. Enumerable.Range(0, LaneBench.Width).Select(_ => new double[count])];
        (_at, _sums) = (new Vector<double>[count], YieldSums.Lanes(count));
    }

    /// <summary>Rows solved so far.</summary>
    public long Solutions { get; private set; }

    /// <summary>Trials so far in which the network did not stay in the state of a row.</summary>
    public int FellOver { get; private set; }

    /// <param name="first">The first trial; as many follow as there are distances.</param>
    /// <param name="distances">Written: the worst of each trial. Unit: V.</param>
    /// <returns>What the trials sum up to.</returns>
    public YieldSums Run(int first, Span<double> distances)
    {
        Array.Clear(_sums);
        for (var at = 0; at < distances.Length; at += LaneBench.Width)
            Pack(first + at, distances.Slice(at, Math.Min(LaneBench.Width, distances.Length - at)));
        return new(distances.Length, _sums);
    }

    private void Pack(int first, Span<double> distances)
    {
        for (var lane = 0; lane < distances.Length; lane++)
        {
            // A stream of its own for each trial: what one trial draws does not hang on how many came before on its thread.
            _factors.Draw(new(_seed + 0x9E3779B97F4A7C15UL * (ulong)(first + lane + 1)), _drawn[lane]);
        }
        // Lanes without a trial are nominal.
        for (var lane = distances.Length; lane < _drawn.Length; lane++) Array.Clear(_drawn[lane]);
        Turn();
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
        Span<double> apart = stackalloc double[LaneBench.Width];
        apart.Clear();
        for (var lane = 0; lane < distances.Length; lane++) apart[lane] = distances[lane] - _nominal;
        YieldSums.Sum(_sums, _at, new(apart));
    }

    private double ByItself(int lane, int row)
    {
        _factors.Put(_drawn[lane], _bench);
        var distance = _bench.Distance(row);
        _fallen[lane] |= _bench.FellOver;
        return distance;
    }

    private void Turn()
    {
        var at = MemoryMarshal.Cast<Vector<double>, double>(_at.AsSpan());
        for (var lane = 0; lane < _drawn.Length; lane++)
        {
            var drawn = _drawn[lane];
            for (var f = 0; f < drawn.Length; f++) at[f * LaneBench.Width + lane] = drawn[f];
        }
    }
}
