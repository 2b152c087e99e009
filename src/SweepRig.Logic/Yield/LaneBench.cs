using System.Numerics;
using SweepRig.Logic.Solving;
using SweepRig.Tubes.Model;

namespace SweepRig.Logic.Yield;

/// <summary>Solves the rows of a table for several sets of values at once, one in each lane of the processor. Belongs to one thread.</summary>
/// <remarks>
/// Newton without damping. It starts from the nominal tubes, straight and then bent to the second order (Chebyshev's method, from memory), which costs no evaluation. Nodes without a tube are
/// eliminated once a trial; the steps have only the others to balance. After the first look only those tubes are looked at again that have left their tangents. What does not get to a
/// balance is left to <see cref="TableBench"/>.
/// </remarks>
internal sealed class LaneBench
{
    private const int MostSteps = 10;

    // Steps shrink with their square: the next is the last but for the square of what it shrank by. That much, twenty times over, must be below this.
    private const double SmallVolts = 1e-7, Caution = 20, LastStepVolts = 1e-3;

    private readonly LaneTable _lanes;
    private readonly CircuitPattern _pattern;
    private readonly int _unknowns;
    // Of each node its place among the voltages and right-hand sides: its row, or behind the rows for one that is held. What comes to a held node's right-hand side is not read.
    private readonly int[] _placeOf;
    private readonly TubeLeads[] _leads;
    private readonly (int Row, int From, int Resistor)[] _feeds;
    // By place of the matrix: what stays from step to step, and what each step makes of it. By place of the nodes: right-hand sides and voltages.
    private readonly Vector<double>[] _steady, _matrix, _known, _side, _volts;
    private readonly Vector<double>[] _sources;
    private readonly VariedTube[] _tubes;
    private readonly LaneTangent[] _tangents;

    public LaneBench(LaneTable lanes)
    {
        _lanes = lanes;
        var values = lanes.Table.Values;
        var circuit = values.Circuit;
        (_pattern, _unknowns) = (lanes.Pattern, circuit.Unknowns);
        _placeOf = [.. _pattern.RowOf.Select((row, node) => row < _unknowns ? row : _unknowns + node)];
        _leads = [.. circuit.Tubes.Select(t => new TubeLeads(_placeOf[t.Grid], _placeOf[t.Screen], _placeOf[t.Plate], _placeOf[t.Cathode]))];
        _feeds = [.. circuit.Resistors.SelectMany((r, at) => ((int, int, int)[])[(_placeOf[r.A], _placeOf[r.B], at), (_placeOf[r.B], _placeOf[r.A], at)]).Where(f => f.Item1 < _unknowns && f.Item2 >= _unknowns)];
        (_steady, _matrix) = (new Vector<double>[_pattern.Factors.Count], new Vector<double>[_pattern.Factors.Count]);
        var places = _unknowns + circuit.Nodes.Count;
        (_known, _side, _volts) = (new Vector<double>[places], new Vector<double>[places], new Vector<double>[places]);
        _sources = [.. values.Sources.Select(s => new Vector<double>(s.At(0)))];
        Siemens = [.. values.Siemens.Select(s => new Vector<double>(s))];
        _tubes = [.. values.Tubes.Select(t => new VariedTube(t))];
        _tangents = [.. _tubes.Select(_ => new LaneTangent())];
    }

    /// <summary>Sets of values side by side.</summary>
    public static int Width => Vector<double>.Count;

    /// <summary>Of each resistor; call <see cref="Begin"/> after a change.</summary>
    public Vector<double>[] Siemens { get; }

    /// <summary>Voltage of a node after <see cref="Solve"/>. Unit: V.</summary>
    public Vector<double> Volts(int node) => _volts[_placeOf[node]];

    /// <summary>Sets the voltage of a source.</summary>
    public void SetSource(int source, Vector<double> volts) => _sources[source] = volts;

    /// <summary>Varies a tube; see <see cref="VariedTube.Vary"/>.</summary>
    public void Vary(int tube, Vector<double> perveance, Vector<double> offset, Vector<double> emission) => _tubes[tube].Vary(perveance, offset, emission);

    /// <summary>Takes over the resistors.</summary>
    public void Begin()
    {
        Array.Clear(_steady);
        for (var r = 0; r < Siemens.Length; r++)
        {
            var (places, siemens) = (_pattern.Resistors[r], Siemens[r]);
            // The spare place takes what belongs to held nodes.
            _steady[places.AA] += siemens;
            _steady[places.BB] += siemens;
            _steady[places.AB] -= siemens;
            _steady[places.BA] -= siemens;
        }
        _pattern.Factors.Factor(_steady, 0, _pattern.Factors.Changing);
    }

    /// <returns>False when a lane did not come to a balance, or to one that is not stable; the voltages are then of no use.</returns>
    public bool Solve(int row)
    {
        Feed(row);
        _pattern.Factors.Forward(_steady, _known, 0, _pattern.Factors.Changing);
        // Far away tubes do not bend as they do where they nominally are: a straight start may be the better one.
        return Balance(_lanes.Starts[row], isBent: true) || Balance(_lanes.Starts[row], isBent: false);
    }

    private bool Balance(LaneStart[] starts, bool isBent)
    {
        var factors = _pattern.Factors;
        Start(starts);
        if (isBent) Bend(starts);
        var before = Vector<double>.Zero;
        for (var step = 1; step < MostSteps; step++)
        {
            Renew();
            for (var tube = 0; tube < _tubes.Length; tube++) Stamp(tube, Look(tube, step == 1));
            var moved = Step();
            var isLast = step > 1 && Vector.LessThanAll(moved, new(LastStepVolts)) && Vector.LessThanAll(Caution * moved * moved * moved, SmallVolts * before * before);
            before = moved;
            if (!isLast) continue;
            factors.Backward(_matrix, _side, 0, factors.Changing);
            Move(factors.Order[..factors.Changing]);
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

    // Voltages of held nodes, and what they feed into the others.
    private void Feed(int row)
    {
        var table = _lanes.Table;
        var inputs = table.Rows[row].Volts;
        for (var i = 0; i < inputs.Length; i++) _sources[table.Inputs[i]] = new(inputs[i]);
        foreach (var held in table.Values.Circuit.Held) _volts[_placeOf[held.Node]] = _volts[_placeOf[held.From]] + held.Sign * _sources[held.Source];
        Array.Clear(_known);
        foreach (var (to, from, resistor) in _feeds) _known[to] += Siemens[resistor] * _volts[from];
    }

    // The balance with nominal tubes on their tangents.
    private void Start(LaneStart[] starts)
    {
        Renew();
        for (var tube = 0; tube < starts.Length; tube++) Stamp(tube, starts[tube].Tangent);
        Step();
    }

    // Solves what is stamped; the nodes of tubes go there.
    private Vector<double> Step()
    {
        var factors = _pattern.Factors;
        var (first, end) = (factors.Changing, factors.Size);
        factors.Factor(_matrix, first, end);
        factors.Forward(_matrix, _side, first, end);
        factors.Backward(_matrix, _side, first, end);
        return Move(factors.Order[first..]);
    }

    // What they leave them by on the way there is put right by the same factors.
    private void Bend(LaneStart[] starts)
    {
        var factors = _pattern.Factors;
        var (first, end) = (factors.Changing, factors.Size);
        Array.Clear(_side);
        for (var tube = 0; tube < starts.Length; tube++)
        {
            var leads = _leads[tube];
            var cathode = _volts[leads.Cathode];
            starts[tube].Leaves(_volts[leads.Grid] - cathode, _volts[leads.Screen] - cathode, _volts[leads.Plate] - cathode, out var grid, out var screen, out var plate);
            Draw(leads, grid, screen, plate);
        }
        factors.Forward(_matrix, _side, first, end);
        factors.Backward(_matrix, _side, first, end);
        foreach (var at in factors.Order[first..]) _volts[at] += _side[at];
    }

    private void Renew()
    {
        _steady.AsSpan().CopyTo(_matrix);
        _known.AsSpan().CopyTo(_side);
    }

    private LaneTangent Look(int tube, bool always)
    {
        var leads = _leads[tube];
        var cathode = _volts[leads.Cathode];
        var (grid, screen, plate) = (_volts[leads.Grid] - cathode, _volts[leads.Screen] - cathode, _volts[leads.Plate] - cathode);
        var tangent = _tangents[tube];
        if (!always && tangent.Says(grid, screen, plate)) return tangent;
        tangent.Look(_tubes[tube], grid, screen, plate);
        return tangent;
    }

    private void Stamp(int tube, LaneTangent tangent)
    {
        var leads = _leads[tube];
        ref readonly var i = ref tangent.At;
        var (grid, screen, plate) = (tangent.Grid, tangent.Screen, tangent.Plate);
        if (Math.Max(Math.Max(leads.Grid, leads.Screen), leads.Plate) >= _unknowns || leads.Cathode >= _unknowns && leads.Cathode != _placeOf[0])
        {
            // Nodes that are held are no unknowns: what the tangents carry because of them is known.
            var k = Known(leads.Cathode);
            var (g, s, p) = (Known(leads.Grid) - k, Known(leads.Screen) - k, Known(leads.Plate) - k);
            grid += i.GridByGrid * g + i.GridByScreen * s + i.GridByPlate * p;
            screen += i.ScreenByGrid * g + i.ScreenByScreen * s + i.ScreenByPlate * p;
            plate += i.PlateByGrid * g + i.PlateByScreen * s + i.PlateByPlate * p;
        }
        Draw(leads, grid, screen, plate);
        var (matrix, at) = (_matrix, _pattern.Tubes[tube]);
        matrix[at[0]] += i.GridByGrid;
        matrix[at[1]] += i.GridByScreen;
        matrix[at[2]] += i.GridByPlate;
        matrix[at[4]] += i.ScreenByGrid;
        matrix[at[5]] += i.ScreenByScreen;
        matrix[at[6]] += i.ScreenByPlate;
        matrix[at[8]] += i.PlateByGrid;
        matrix[at[9]] += i.PlateByScreen;
        matrix[at[10]] += i.PlateByPlate;
        if (leads.Cathode >= _unknowns) return;
        Vector<double> byG = i.GridByGrid + i.ScreenByGrid + i.PlateByGrid, byS = i.GridByScreen + i.ScreenByScreen + i.PlateByScreen, byP = i.GridByPlate + i.ScreenByPlate + i.PlateByPlate;
        matrix[at[12]] -= byG;
        matrix[at[13]] -= byS;
        matrix[at[14]] -= byP;
        matrix[at[3]] -= i.GridByGrid + i.GridByScreen + i.GridByPlate;
        matrix[at[7]] -= i.ScreenByGrid + i.ScreenByScreen + i.ScreenByPlate;
        matrix[at[11]] -= i.PlateByGrid + i.PlateByScreen + i.PlateByPlate;
        matrix[at[15]] += byG + byS + byP;
    }

    // Takes currents out of the nodes of a tube.
    private void Draw(TubeLeads leads, Vector<double> grid, Vector<double> screen, Vector<double> plate)
    {
        var side = _side;
        side[leads.Grid] -= grid;
        side[leads.Screen] -= screen;
        side[leads.Plate] -= plate;
        side[leads.Cathode] += grid + screen + plate;
    }

    private Vector<double> Known(int place) => place < _unknowns ? Vector<double>.Zero : _volts[place];

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
