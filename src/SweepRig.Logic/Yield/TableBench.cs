using SweepRig.Logic.Networks;
using SweepRig.Logic.Solving;

namespace SweepRig.Logic.Yield;

/// <summary>Solves the rows of a table with other parts, each in the state that the row is about. Belongs to one thread.</summary>
internal sealed class TableBench
{
    private readonly NominalTable _table;
    private readonly DcSolver _solver;
    private readonly Settling _settling;
    private readonly bool _stores;

    public TableBench(NominalTable table)
    {
        _table = table;
        Values = table.Values.Copy();
        _solver = new(Values, DcSolver.Rough);
        _settling = new(Values);
        _stores = table.Storing.Contains(true);
    }

    /// <summary>To be changed from trial to trial.</summary>
    public CircuitValues Values { get; }

    /// <summary>Direct-current solutions so far.</summary>
    public long Solutions { get; private set; }

    /// <summary>Whether the last row had no state to measure: the network fell over into another, or comes to no rest.</summary>
    public bool FellOver { get; private set; }

    /// <returns>The least distance of a signal from the threshold to its side; below 0 when one is wrong, and minus the whole swing when the network fell over. Unit: V.</returns>
    public double Distance(int row)
    {
        var (volts, wanted, start) = _table.Rows[row];
        for (var i = 0; i < volts.Length; i++) Values.Sources[_table.Inputs[i]] = Waveform.Steady(volts[i]);
        Solutions++;
        FellOver = false;
        var distance = double.NaN;
        // Newton may end in another state although this one is still there; the network itself, let go from its nominal voltages, goes elsewhere only if this one is not.
        if (_solver.TrySolve(start)) distance = _table.Least(wanted, _solver.Volts);
        if ((double.IsNaN(distance) || _stores && (distance < 0 || _solver.Newton.Sign < 0)) && _settling.Run(start, 0)) distance = _solver.TrySolve(_settling.Volts) ? _table.Least(wanted, _solver.Volts) : double.NaN;
        FellOver = double.IsNaN(distance) || _stores && HasLeft(wanted);
        return FellOver ? _table.Levels.Low - _table.Levels.High : distance;
    }

    private bool HasLeft(bool[] wanted)
    {
        for (var g = 0; g < wanted.Length; g++)
            if (_table.Storing[g] && Above(g) > 0 != wanted[g]) return true;
        return false;
    }

    private double Above(int gate) => _solver.Volts[_table.Signals[gate]] - _table.Levels.Middle;
}
