using System.Numerics;
using SweepRig.Logic.Solving;
using SweepRig.Tubes.Model;

namespace SweepRig.Logic.Yield;

/// <summary>Solves the rows of a table for several sets of values at once, one in each lane of the processor. Belongs to one thread.</summary>
/// <remarks>
/// Newton without damping from the nominal voltages. Nodes without a tube are eliminated once a trial; the steps have only the others to balance. The first step takes the tubes as they
/// nominally are and costs no evaluation; from the third on only those are looked at again that have left their tangents. What does not get to a balance is left to <see cref="TableBench"/>.
/// </remarks>
internal sealed class LaneBench
{
    private const int MostSteps = 10;

    // Steps shrink with their square: the next is the last but for the square of what it shrank by. That much, twenty times over, must be below this.
    private const double SmallVolts = 1e-7, Caution = 20, LastStepVolts = 1e-3;

    private readonly LaneTable _lanes;
    private readonly Circuit _circuit;
    private readonly CircuitPattern _pattern;
    private readonly int[] _rowOf;
    private readonly int _unknowns;
    // By place of the matrix: what stays from step to step, and what each step makes of it. By row: right-hand sides, and the voltages, with 0 behind the last for nodes that are held.
    private readonly Vector<double>[] _steady, _matrix, _known, _side, _volts;
    private readonly Vector<double>[] _held, _sources;
    private readonly LaneTangent[] _tangents;
    private readonly TubeBank _bank;

    public LaneBench(LaneTable lanes)
    {
        _lanes = lanes;
        var values = lanes.Table.Values;
        (_circuit, _pattern) = (values.Circuit, lanes.Pattern);
        (_rowOf, _unknowns) = (_pattern.RowOf, _circuit.Unknowns);
        (_steady, _matrix) = (new Vector<double>[_pattern.Factors.Count], new Vector<double>[_pattern.Factors.Count]);
        (_known, _side, _volts) = (new Vector<double>[_unknowns + 1], new Vector<double>[_unknowns + 1], new Vector<double>[_unknowns + 1]);
        _held = new Vector<double>[_circuit.Nodes.Count];
        _sources = [.. values.Sources.Select(s => new Vector<double>(s.At(0)))];
        Siemens = [.. values.Siemens.Select(s => new Vector<double>(s))];
        _tangents = new LaneTangent[values.Tubes.Length];
        _bank = new(values.Tubes.Length * Width);
        for (var at = 0; at < _bank.Count; at++) _bank.Put(at, values.Tubes[at / Width]);
    }

    /// <summary>Sets of values side by side.</summary>
    public static int Width => Vector<double>.Count;

    /// <summary>Of each resistor; call <see cref="Begin"/> after a change.</summary>
    public Vector<double>[] Siemens { get; }

    /// <summary>Voltage of a node after <see cref="Solve"/>. Unit: V.</summary>
    public Vector<double> Volts(int node) => _rowOf[node] is var row && row < _unknowns ? _volts[row] : _held[node];

    /// <summary>Sets the voltage of a source.</summary>
    public void SetSource(int source, Vector<double> volts) => _sources[source] = volts;

    /// <summary>Varies a tube; see <see cref="TubeBank.Vary"/>.</summary>
    public void Vary(int tube, Vector<double> perveance, Vector<double> offset, Vector<double> emission) => _bank.Vary(tube * Width, perveance, offset, emission);

    /// <summary>Takes over the resistors.</summary>
    public void Begin()
    {
        Array.Clear(_steady);
        for (var r = 0; r < Siemens.Length; r++)
        {
            var ((a, b), places, siemens) = (_circuit.Resistors[r], _pattern.Resistors[r], Siemens[r]);
            var (isFreeA, isFreeB) = (_rowOf[a] < _unknowns, _rowOf[b] < _unknowns);
            if (isFreeA) _steady[places.AA] += siemens;
            if (isFreeB) _steady[places.BB] += siemens;
            if (!isFreeA || !isFreeB) continue;
            _steady[places.AB] -= siemens;
            _steady[places.BA] -= siemens;
        }
        _pattern.Factors.Factor(_steady, 0, _pattern.Factors.Changing);
    }

    /// <returns>False when a lane did not come to a balance, or to one that is not stable; the voltages are then of no use.</returns>
    public bool Solve(int row)
    {
        var factors = _pattern.Factors;
        var (first, end) = (factors.Changing, factors.Size);
        Start(row);
        factors.Forward(_steady, _known, 0, first);
        var moved = new Vector<double>(double.PositiveInfinity);
        for (var step = 0; step < MostSteps; step++)
        {
            _steady.AsSpan().CopyTo(_matrix);
            _known.AsSpan().CopyTo(_side);
            if (step == 0) _lanes.Nominal[row].CopyTo(_tangents, 0);
            for (var tube = 0; tube < _tangents.Length; tube++)
            {
                if (step > 0) Touch(tube, step == 1);
                Stamp(tube, _tangents[tube]);
            }
            factors.Factor(_matrix, first, end);
            factors.Forward(_matrix, _side, first, end);
            factors.Backward(_matrix, _side, first, end);
            var before = moved;
            moved = Move(factors.Order[first..]);
            if (step < 2 || !Vector.LessThanAll(moved, new(LastStepVolts)) || !Vector.LessThanAll(Caution * moved * moved * moved, SmallVolts * before * before)) continue;
            factors.Backward(_matrix, _side, 0, first);
            Move(factors.Order[..first]);
            return factors.IsPositive(_matrix);
        }
        return false;
    }

    /// <summary>The least distance of a signal from the threshold to its side, in each lane. Unit: V; below 0 when one is wrong.</summary>
    public Vector<double> Distance(int row)
    {
        var table = _lanes.Table;
        var (wanted, middle) = (table.Rows[row].Wanted, new Vector<double>(table.Levels.Middle));
        var least = new Vector<double>(double.PositiveInfinity);
        for (var g = 0; g < wanted.Length; g++)
        {
            var volts = Volts(table.Signals[g]);
            least = Vector.Min(least, wanted[g] ? volts - middle : middle - volts);
        }
        return least;
    }

    private void Start(int number)
    {
        var table = _lanes.Table;
        var (inputs, _, start) = table.Rows[number];
        for (var i = 0; i < inputs.Length; i++) _sources[table.Inputs[i]] = new(inputs[i]);
        for (var node = 1; node < start.Length; node++)
            if (_rowOf[node] is var row && row < _unknowns) _volts[row] = new(start[node]);
        foreach (var held in _circuit.Held) _held[held.Node] = _held[held.From] + held.Sign * _sources[held.Source];
        Array.Clear(_known);
        for (var r = 0; r < Siemens.Length; r++)
        {
            var (a, b) = _circuit.Resistors[r];
            int rowA = _rowOf[a], rowB = _rowOf[b];
            if (rowA >= _unknowns) _known[rowB] += Siemens[r] * _held[a];
            else if (rowB >= _unknowns) _known[rowA] += Siemens[r] * _held[b];
        }
    }

    private void Touch(int tube, bool always)
    {
        var (gridNode, screenNode, plateNode, cathodeNode) = _circuit.Tubes[tube];
        var k = Volts(cathodeNode);
        var (grid, screen, plate) = (Volts(gridNode) - k, Volts(screenNode) - k, Volts(plateNode) - k);
        if (!always && _tangents[tube].Says(grid, screen, plate)) return;
        _bank.Set(tube * Width, grid, screen, plate);
        _bank.Evaluate(tube * Width);
        _tangents[tube] = new(_bank.Results, tube * Width, grid, screen, plate);
    }

    private void Stamp(int tube, in LaneTangent i)
    {
        var leads = _circuit.Tubes[tube];
        int rowG = _rowOf[leads.Grid], rowS = _rowOf[leads.Screen], rowP = _rowOf[leads.Plate], rowK = _rowOf[leads.Cathode];
        var (grid, screen, plate) = (i.Grid, i.Screen, i.Plate);
        if (Math.Max(Math.Max(rowG, rowS), rowP) >= _unknowns || rowK >= _unknowns && leads.Cathode != 0)
        {
            // Nodes that are held are no unknowns: what the tangents carry because of them is known.
            var k = Known(leads.Cathode);
            var (g, s, p) = (Known(leads.Grid) - k, Known(leads.Screen) - k, Known(leads.Plate) - k);
            grid += i.GridByGrid * g + i.GridByScreen * s + i.GridByPlate * p;
            screen += i.ScreenByGrid * g + i.ScreenByScreen * s + i.ScreenByPlate * p;
            plate += i.PlateByGrid * g + i.PlateByScreen * s + i.PlateByPlate * p;
        }
        var (side, at) = (_side, _pattern.Tubes[tube]);
        side[rowG] -= grid;
        side[rowS] -= screen;
        side[rowP] -= plate;
        Add(at, 0, i.GridByGrid, i.GridByScreen, i.GridByPlate);
        Add(at, 4, i.ScreenByGrid, i.ScreenByScreen, i.ScreenByPlate);
        Add(at, 8, i.PlateByGrid, i.PlateByScreen, i.PlateByPlate);
        if (rowK >= _unknowns) return;
        side[rowK] += grid + screen + plate;
        Vector<double> byG = i.GridByGrid + i.ScreenByGrid + i.PlateByGrid, byS = i.GridByScreen + i.ScreenByScreen + i.PlateByScreen, byP = i.GridByPlate + i.ScreenByPlate + i.PlateByPlate;
        Add(at, 12, -byG, -byS, -byP);
        _matrix[at[3]] -= i.GridByGrid + i.GridByScreen + i.GridByPlate;
        _matrix[at[7]] -= i.ScreenByGrid + i.ScreenByScreen + i.ScreenByPlate;
        _matrix[at[11]] -= i.PlateByGrid + i.PlateByScreen + i.PlateByPlate;
        _matrix[at[15]] += byG + byS + byP;
    }

    private void Add(int[] places, int from, Vector<double> byGrid, Vector<double> byScreen, Vector<double> byPlate)
    {
        var matrix = _matrix;
        matrix[places[from]] += byGrid;
        matrix[places[from + 1]] += byScreen;
        matrix[places[from + 2]] += byPlate;
    }

    private Vector<double> Known(int node) => _rowOf[node] < _unknowns ? Vector<double>.Zero : _held[node];

    // The way of all nodes together; not the longest, for a maximum may drop what is no number.
    private Vector<double> Move(ReadOnlySpan<int> rows)
    {
        var moved = Vector<double>.Zero;
        foreach (var row in rows)
        {
            moved += Vector.Abs(_side[row] - _volts[row]);
            _volts[row] = _side[row];
        }
        return moved;
    }
}
