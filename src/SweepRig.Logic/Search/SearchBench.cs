using SweepRig.Logic.Gates;
using SweepRig.Logic.Solving;

namespace SweepRig.Logic.Search;

/// <summary>What one thread of a search works with: measures a combination of values with some of the tubes.</summary>
internal sealed class SearchBench
{
    private readonly SearchOrder _order;
    private readonly StageBench _bench;
    private readonly LotMargin _lot;
    private readonly double[] _inputs, _outputs, _slopes;

    public SearchBench(SearchOrder order)
    {
        _order = order;
        _bench = new(order.Rails, order.Values, order.Tubes[0], order.FanOut, DcSolver.Rough, order.Shape);
        _inputs = [.. Enumerable.Range(0, order.Points).Select(n => order.Rails.Plate * n / (order.Points - 1))];
        (_outputs, _slopes) = (new double[order.Points], new double[order.Points]);
        _lot = new(_inputs);
    }

    /// <summary>Stages swept so far.</summary>
    public long Sweeps { get; private set; }

    /// <param name="tubes">Places in the list of the order.</param>
    /// <returns>Margin, worst levels and burden over these tubes; a margin of 0 when a stage has no solution.</returns>
    public (double Margin, double Low, double High, StageBurden Burden) Measure(StageResistors values, IReadOnlyList<int> tubes)
    {
        _lot.Clear();
        StageBurden burden = default;
        foreach (var (own, loads) in Corners(values, _order.ResistorTolerance))
        {
            _bench.Fit(own, loads);
            foreach (var t in tubes)
            {
                var tube = _order.Tubes[t].Model;
                Sweeps++;
                // What a stage feeds is taken to be tubes like its own: their grids draw nothing until far above their middle.
                _bench.Plug(tube, tube);
                if (!_bench.Sweep(_inputs, _outputs, _slopes, out var one)) return (0, 0, 0, burden);
                burden = burden.Or(one);
                _lot.Add(_outputs, _slopes);
            }
        }
        var (margin, low, high) = _lot.Measure();
        return (margin, low, high, burden);
    }

    // Output high: little plate resistance, a grid that gets little and loses much, loads that take little. Output low: all the other way.
    internal static IReadOnlyList<(StageResistors Own, StageResistors Loads)> Corners(StageResistors nominal, double tolerance)
    {
        if (tolerance == 0) return [(nominal, nominal)];
        double more = 1 + tolerance, less = 1 - tolerance;
        return
        [
            (new(nominal.Plate * less, nominal.Upper * more, nominal.Lower * less), new(nominal.Plate, nominal.Upper * more, nominal.Lower * more)),
            (new(nominal.Plate * more, nominal.Upper * less, nominal.Lower * more), new(nominal.Plate, nominal.Upper * less, nominal.Lower * less)),
        ];
    }
}
