using SweepRig.Logic.Networks;
using SweepRig.Logic.Solving;
using SweepRig.Tubes.Model;

namespace SweepRig.Logic.Gates;

/// <summary>Resistors of a stage that a search may choose. Unit: ohm.</summary>
public readonly record struct StageResistors(double Plate, double Upper, double Lower);

/// <summary>What a stage takes at its worst: to be held against limits.</summary>
/// <param name="GridAmps">Largest grid current, at an input of the rail voltage.</param>
/// <param name="PlateWatts">Largest dissipation of the plate.</param>
/// <param name="ScreenWatts">Largest dissipation of the screen.</param>
/// <param name="CathodeAmps">Largest cathode current.</param>
/// <param name="ResistorWatts">Largest dissipation of the plate resistor.</param>
public readonly record struct StageBurden(double GridAmps, double PlateWatts, double ScreenWatts, double CathodeAmps, double ResistorWatts)
{
    /// <summary>The larger of each.</summary>
    public StageBurden Or(in StageBurden other) => new(
        Math.Max(GridAmps, other.GridAmps), Math.Max(PlateWatts, other.PlateWatts), Math.Max(ScreenWatts, other.ScreenWatts),
        Math.Max(CathodeAmps, other.CathodeAmps), Math.Max(ResistorWatts, other.ResistorWatts));
}

/// <summary>One stage with what it feeds, solved over and over with other resistors and tubes. Belongs to one thread.</summary>
internal sealed class StageBench
{
    private readonly Circuit _circuit;
    private readonly CircuitValues _values;
    private readonly DcSolver _solver;
    private readonly double[] _last, _side;
    private readonly int[] _plate, _upper, _lower;
    private readonly int _input, _output, _inputNode, _inputs;
    private readonly double _rail;
    private readonly bool _triode;

    /// <param name="balanceShare">See <see cref="DcSolver"/>.</param>
    public StageBench(GateRails rails, StageValues values, TubePart tube, int fanOut, double balanceShare, StageShape shape)
    {
        var network = shape.Network(rails, values, fanOut);
        _inputs = shape.Inputs;
        // The same tube stands for all stages here, which no bench could do: it goes without its number.
        var anyTube = tube with { Number = null };
        _circuit = Circuit.Of(GateWiring.Wire(network, _ => anyTube, [Waveform.Steady(0)]));
        _values = new(_circuit);
        _solver = new(_values, balanceShare);
        _last = new double[_circuit.Nodes.Count];
        _side = new double[_circuit.Unknowns];
        var resistors = _circuit.Network.Parts.OfType<Resistor>().Select((r, at) => (r.Name, at)).ToList();
        int[] Named(string start) => [.. resistors.Where(r => r.Name.StartsWith(start, StringComparison.Ordinal)).Select(r => r.at)];
        (_plate, _upper, _lower) = (Named("Rp_"), Named("Ra_"), Named("Rb_"));
        _input = _circuit.Network.Parts.OfType<Source>().Select((s, at) => (s.Name, at)).First(s => s.Name == "x").at;
        (_output, _inputNode) = (_circuit.NodeOf("y"), _circuit.NodeOf("x"));
        _rail = rails.Plate;
        _triode = values.IsTriode;
    }

    public void Fit(StageResistors resistors) => Fit(resistors, resistors);

    /// <param name="own">Of the stage.</param>
    /// <param name="loads">Of all others.</param>
    public void Fit(StageResistors own, StageResistors loads)
    {
        Put(_plate, 1, own.Plate, loads.Plate);
        Put(_upper, _inputs, own.Upper, loads.Upper);
        Put(_lower, 1, own.Lower, loads.Lower);

        void Put(int[] places, int owned, double first, double others)
        {
            for (var n = 0; n < places.Length; n++) _values.Siemens[places[n]] = 1 / (n < owned ? first : others);
        }
    }

    /// <param name="tube">In the stage.</param>
    /// <param name="load">In all others.</param>
    public void Plug(TubeModel tube, TubeModel load)
    {
        _values.Tubes[0] = tube;
        for (var t = 1; t < _values.Tubes.Length; t++) _values.Tubes[t] = load;
    }

    /// <summary>Outputs and slopes at evenly spread inputs from 0 V to the rail, and the burden on the way.</summary>
    /// <returns>False when a point has no solution.</returns>
    public bool Sweep(double[] inputs, double[] outputs, double[] slopes, out StageBurden burden)
    {
        burden = default;
        for (var n = 0; n < inputs.Length; n++)
        {
            _values.Sources[_input] = Waveform.Steady(inputs[n]);
            if (n > 0) Follow(inputs[n] - inputs[n - 1]);
            var solved = n > 0 ? _solver.TrySolve(_last) : _solver.TrySolve();
            if (!solved && !_solver.TrySolve()) return false;
            _solver.Volts.CopyTo(_last);
            outputs[n] = _last[_output];
            slopes[n] = Slope();
            burden = burden.Or(Burden());
        }
        return true;
    }

    // Along the tangent to where the next balance will be nearly.
    private void Follow(double step)
    {
        var rows = _circuit.Pattern.RowOf;
        for (var node = 1; node < _last.Length; node++)
            if (rows[node] < _side.Length) _last[node] += step * _side[rows[node]];
    }

    // The matrix of the balance is still factored: one more right-hand side, what a volt at the input drives into its neighbours, gives all slopes.
    private double Slope()
    {
        Array.Clear(_side);
        var rows = _circuit.Pattern.RowOf;
        var ends = _circuit.Resistors;
        for (var r = 0; r < ends.Length; r++)
        {
            var (a, b) = ends[r];
            if (a == _inputNode && rows[b] < _side.Length) _side[rows[b]] += _values.Siemens[r];
            if (b == _inputNode && rows[a] < _side.Length) _side[rows[a]] += _values.Siemens[r];
        }
        _circuit.Pattern.Factors.Solve(_solver.Newton.Equations.Matrix, _side);
        return _side[rows[_output]];
    }

    private StageBurden Burden()
    {
        var (grid, screen, plate, cathode) = _circuit.Tubes[0];
        var i = _values.Tubes[0].Evaluate(_last[grid] - _last[cathode], _last[screen] - _last[cathode], _last[plate] - _last[cathode]);
        var drop = _rail - _last[_output];
        return new(i.Grid, _last[plate] * (_triode ? i.Plate + i.Screen : i.Plate), _triode ? 0 : _last[screen] * i.Screen, i.Grid + i.Screen + i.Plate, drop * drop * _values.Siemens[_plate[0]]);
    }
}
