using SweepRig.Logic.Gates;
using SweepRig.Logic.Networks;
using SweepRig.Logic.Solving;

namespace SweepRig.Logic.Choice;

/// <summary>Solves rows of a network with noise, over and over with other tubes. Belongs to one thread; what it answers does not hang on what it was asked before.</summary>
internal sealed class RowBench
{
    private const int NewtonSteps = 16, Looks = 8;

    // About what the slowest node of a stage takes: where a network without capacitors of its own goes does not hang on the way there.
    private const double NearSeconds = 1e-6;

    /// <summary>What margins are good to. Unit: V.</summary>
    public const double MarginStep = 5e-4;

    private readonly ChoiceProblem _problem;
    private readonly CircuitValues _values;
    private readonly DcSolver _solver;
    private readonly Settling _settling;
    private readonly Waveform _low, _high;
    private readonly double[] _kept;
    private readonly bool[] _firm;
    private readonly Func<bool>? _isLost;
    private int _row;
    private double _noise = double.NaN;
    private Waveform _up = Waveform.Steady(0), _down = Waveform.Steady(0);

    public RowBench(ChoiceProblem problem)
    {
        _problem = problem;
        _values = new(problem.Circuit);
        _solver = new(_values, DcSolver.Rough);
        _settling = new(_values);
        _kept = new double[problem.Circuit.Nodes.Count];
        _firm = Firm(problem.Order.Network);
        // Stages that only grids and dividers couple follow noise steadily: what has crossed the threshold does not come back. With a capacitor between them it may.
        if (!problem.Circuit.Network.Parts.Any(p => p is Capacitor))
        {
            _isLost = () => Wrong(_settling.Volts).Any;
            _solver.Newton.StaysPositive = true;
        }
        (_low, _high) = (Waveform.Steady(problem.Levels.Low), Waveform.Steady(problem.Levels.High));
    }

    /// <summary>Noise beyond which none is asked for: from half the swing on, low with noise lies above high with noise. Unit: V.</summary>
    public double Most => 0.5 * (_problem.Levels.High - _problem.Levels.Low);

    /// <summary>Balances asked for so far.</summary>
    public long Solutions { get; private set; }

    /// <summary>Of the last row that held: how far all its signals together are on their sides of the threshold. Unit: V.</summary>
    public double Distance { get; private set; }

    /// <summary>Voltages of the last row that held.</summary>
    public double[] Volts() => [.. _solver.Volts];

    /// <param name="tubes">Of each position.</param>
    /// <param name="noise">Adverse voltage in series with every input of every gate. Unit: V.</param>
    /// <param name="near">Voltages with other tubes at that noise; null to begin from the row without noise.</param>
    /// <returns>True when the network has a balance in which every signal is on its side.</returns>
    public bool Holds(int row, ReadOnlySpan<int> tubes, double noise, double[]? near = null)
    {
        var (inputs, _, adverse, start) = _problem.Rows[row];
        for (var p = 0; p < tubes.Length; p++) _values.Tubes[p] = _problem.Models[tubes[p]];
        if (noise != _noise) (_noise, _up, _down) = (noise, Waveform.Steady(noise), Waveform.Steady(-noise));
        for (var i = 0; i < inputs.Length; i++) _values.Sources[_problem.Inputs[i]] = inputs[i] ? _high : _low;
        for (var n = 0; n < adverse.Length; n++) _values.Sources[_problem.Noise[n]] = adverse[n] ? _down : _up;
        Solutions++;
        _row = row;
        var newton = _solver.Newton;
        (near ?? start).CopyTo(newton.Equations.Volts, 0);
        Array.Clear(newton.Equations.BranchAmps);
        if (newton.Run(0, 1, NewtonSteps) && newton.Sign > 0)
        {
            var wrong = Wrong(_solver.Volts);
            if (!wrong.Any && Rests()) return true;
            if (wrong.Firm) return false;
        }
        // Near its end a state is hard to come to by Newton from afar; the network itself goes there if it is there.
        return (_isLost is null ? _settling.Run(start, 0) : _settling.Run(near ?? start, 0, _isLost, NearSeconds)) && _solver.TrySolve(_settling.Volts) && !Wrong(_solver.Volts).Any && Rests();
    }

    private bool Rests() => !_problem.Order.Network.MayTip || Stability.Of(_solver.Newton, 0).IsStable;

    /// <summary>The greatest noise that all rows bear.</summary>
    /// <param name="row">That goes first beyond it.</param>
    public double Margin(ReadOnlySpan<int> tubes, out int row)
    {
        var margin = Most;
        row = 0;
        for (var r = 0; r < _problem.Rows.Length && margin > 0; r++)
        {
            var one = Upwards(r, tubes, margin);
            if (one < margin) (margin, row) = (one, r);
        }
        return margin;
    }

    /// <summary>The greatest noise that a row bears; 0 when it bears none.</summary>
    public double Margin(int row, ReadOnlySpan<int> tubes) => Upwards(row, tubes, Most);

    // In steps, not from the top: beyond a noise that it does not bear a row may hold again where tubes differ much.
    private double Upwards(int row, ReadOnlySpan<int> tubes, double high)
    {
        if (!Follows(row, tubes, 0, null)) return 0;
        var low = 0.0;
        for (var failed = false; !failed;)
        {
            if (low >= high) return high;
            var noise = Math.Min(high, low + Most / Looks);
            failed = !Follows(row, tubes, noise, _kept);
            if (failed) high = noise;
            else low = noise;
        }
        while (high - low > MarginStep)
        {
            var noise = 0.5 * (low + high);
            if (Follows(row, tubes, noise, _kept)) low = noise;
            else high = noise;
        }
        return low;
    }

    private bool Follows(int row, ReadOnlySpan<int> tubes, double noise, double[]? near)
    {
        if (!Holds(row, tubes, noise, near)) return false;
        _solver.Volts.CopyTo(_kept);
        return true;
    }

    // Whether any signal is on the wrong side, and whether one is that can be on no other: it hangs on nothing that stores.
    private (bool Any, bool Firm) Wrong(ReadOnlySpan<double> volts)
    {
        var wanted = _problem.Rows[_row].Wanted;
        Distance = 0;
        var any = false;
        for (var g = 0; g < wanted.Length; g++)
        {
            var above = volts[_problem.Signals[g]] - _problem.Levels.Middle;
            Distance += Math.Abs(above);
            if (above > 0 == wanted[g]) continue;
            if (_firm[g]) return (true, true);
            any = true;
        }
        return (any, false);
    }

    private static bool[] Firm(GateNetwork network)
    {
        var makers = network.Gates.ToDictionary(g => g.Output, StringComparer.Ordinal);
        var storing = GateTable.Storing(network);
        // A gate that stores stands before itself.
        return [.. network.Gates.Select(g => !GateTable.Before(g, makers).Overlaps(storing))];
    }
}
