using SweepRig.Logic.Networks;
using SweepRig.Logic.Solving;

namespace SweepRig.Logic.Yield;

/// <summary>Solves all rows of a table with other parts. Belongs to one thread.</summary>
internal sealed class TableBench
{
    private readonly NominalTable _table;
    private readonly DcSolver _solver;
    private readonly Settling _settling;

    public TableBench(NominalTable table)
    {
        _table = table;
        Values = table.Values.Copy();
        _solver = new(Values, DcSolver.Rough);
        _settling = new(Values);
    }

    /// <summary>To be changed from trial to trial.</summary>
    public CircuitValues Values { get; }

    /// <summary>Direct-current solutions so far.</summary>
    public long Solutions { get; private set; }

    /// <summary>The least distance of a signal from the threshold to its side, over all rows; below 0 when one is wrong, and minus the whole swing when a row has no solution.</summary>
    public double WorstDistance()
    {
        var worst = double.PositiveInfinity;
        for (var row = 0; row < _table.Rows.Count; row++) worst = Math.Min(worst, Distance(row, out _));
        return worst;
    }

    /// <param name="gate">Whose signal is nearest to the threshold.</param>
    public double Distance(int row, out int gate)
    {
        var (volts, wanted, start) = _table.Rows[row];
        for (var i = 0; i < volts.Length; i++) Values.Sources[_table.Inputs[i]] = Waveform.Steady(volts[i]);
        Solutions++;
        gate = 0;
        if (!_solver.TrySolve(start) && !(_settling.Run(start, 0) && _solver.TrySolve(_settling.Volts))) return _table.Levels.Low - _table.Levels.High;
        var worst = double.PositiveInfinity;
        for (var g = 0; g < wanted.Length; g++)
        {
            var above = _solver.Volts[_table.Signals[g]] - _table.Levels.Middle;
            var distance = wanted[g] ? above : -above;
            if (distance < worst) (worst, gate) = (distance, g);
        }
        return worst;
    }
}
