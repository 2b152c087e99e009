using System.Numerics;
using SweepRig.Logic.Solving;
using SweepRig.Tubes.Model;

namespace SweepRig.Logic.Yield;

/// <summary>Solves the rows of a table for several sets of values at once, one in each lane of the processor. Belongs to one thread.</summary>
/// <remarks>
/// Newton without damping from the nominal voltages. The first step takes the tubes as they are there, so that it costs no evaluation unless tubes vary. It ends after a step so
/// small that the next would be below a tenth of a microvolt, for steps shrink with their square; a lane that does not get there is left to <see cref="TableBench"/>.
/// </remarks>
internal sealed class LaneBench
{
    private const int MostSteps = 10;
    private const double LastStepVolts = 5e-5;

    private readonly LaneTable _lanes;
    private readonly Circuit _circuit;
    private readonly CircuitPattern _pattern;
    private readonly Vector<double>[] _linear, _matrix, _side, _volts, _sources;
    private readonly TubeBank[] _banks;

    public LaneBench(LaneTable lanes)
    {
        _lanes = lanes;
        var values = lanes.Table.Values;
        _circuit = values.Circuit;
        _pattern = _circuit.Pattern;
        (_linear, _matrix) = (new Vector<double>[_pattern.Factors.Count], new Vector<double>[_pattern.Factors.Count]);
        (_side, _volts) = (new Vector<double>[_circuit.Unknowns + 1], new Vector<double>[_circuit.Nodes.Count]);
        _sources = [.. values.Sources.Select(s => new Vector<double>(s.At(0)))];
        Siemens = [.. values.Siemens.Select(s => new Vector<double>(s))];
        _banks = [.. lanes.Rows.Select(r => new TubeBank(r.Active.Length * Width))];
        for (var t = 0; t < values.Tubes.Length; t++)
            for (var lane = 0; lane < Width; lane++) Put(t, lane, values.Tubes[t]);
    }

    /// <summary>Sets of values side by side.</summary>
    public static int Width => Vector<double>.Count;

    /// <summary>Of each resistor; call <see cref="Begin"/> after a change.</summary>
    public Vector<double>[] Siemens { get; }

    /// <summary>Voltage of a node after <see cref="Solve"/>. Unit: V.</summary>
    public Vector<double> Volts(int node) => _volts[node];

    /// <summary>Sets the voltage of a source.</summary>
    public void SetSource(int source, Vector<double> volts) => _sources[source] = volts;

    /// <summary>Puts a tube into one lane.</summary>
    public void Put(int tube, int lane, TubeModel model)
    {
        for (var row = 0; row < _banks.Length; row++)
            if (Array.IndexOf(_lanes.Rows[row].Active, tube) is >= 0 and var at) _banks[row].Put(at * Width + lane, model);
    }

    /// <summary>Takes over the resistors.</summary>
    public void Begin()
    {
        Array.Clear(_linear);
        for (var r = 0; r < Siemens.Length; r++)
        {
            var places = _pattern.Resistors[r];
            _linear[places.AA] += Siemens[r];
            _linear[places.BB] += Siemens[r];
            _linear[places.AB] -= Siemens[r];
            _linear[places.BA] -= Siemens[r];
        }
    }

    /// <returns>False when a lane did not come to a balance; the voltages are then of no use.</returns>
    public bool Solve(int row)
    {
        var table = _lanes.Table;
        var (inputs, _, start) = table.Rows[row];
        for (var i = 0; i < inputs.Length; i++) _sources[table.Inputs[i]] = new(inputs[i]);
        for (var node = 1; node < _volts.Length; node++) _volts[node] = new(start[node]);
        foreach (var held in _circuit.Held) _volts[held.Node] = _volts[held.From] + held.Sign * _sources[held.Source];
        for (var step = 0; step < MostSteps; step++)
        {
            _linear.AsSpan().CopyTo(_matrix);
            Array.Clear(_side);
            Resistors();
            var evaluated = step > 0 || _lanes.TubesVary;
            Tubes(row, evaluated);
            _pattern.Factors.Factor(_matrix);
            _pattern.Factors.Solve(_matrix, _side);
            var most = Move();
            if (evaluated && Vector.LessThanAll(most, new(LastStepVolts))) return IsWithinReach(row);
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
            var volts = _volts[table.Signals[g]];
            least = Vector.Min(least, wanted[g] ? volts - middle : middle - volts);
        }
        return least;
    }

    private void Resistors()
    {
        var rows = _pattern.RowOf;
        for (var r = 0; r < Siemens.Length; r++)
        {
            var (a, b) = _circuit.Resistors[r];
            var amps = Siemens[r] * (_volts[a] - _volts[b]);
            _side[rows[a]] += amps;
            _side[rows[b]] -= amps;
        }
    }

    private void Tubes(int row, bool evaluated)
    {
        var (tubes, active) = _lanes.Rows[row];
        var bank = _banks[row];
        if (evaluated)
        {
            for (var n = 0; n < active.Length; n++)
            {
                var (grid, screen, plate) = Against(active[n]);
                for (var lane = 0; lane < Width; lane++) bank.Set(n * Width + lane, grid[lane], screen[lane], plate[lane]);
            }
            bank.Evaluate();
        }
        var next = 0;
        for (var t = 0; t < tubes.Length; t++)
        {
            var isActive = next < active.Length && active[next] == t;
            if (isActive && evaluated) Stamp(t, bank.Results, next * Width);
            else Stamp(t, tubes[t]);
            if (isActive) next++;
        }
    }

    private (Vector<double> Grid, Vector<double> Screen, Vector<double> Plate) Against(int tube)
    {
        var (grid, screen, plate, cathode) = _circuit.Tubes[tube];
        var k = _volts[cathode];
        return (_volts[grid] - k, _volts[screen] - k, _volts[plate] - k);
    }

    private void Stamp(int tube, in LaneTube at)
    {
        var (grid, screen, plate) = Against(tube);
        var (dg, ds, dp) = (grid - new Vector<double>(at.Grid), screen - new Vector<double>(at.Screen), plate - new Vector<double>(at.Plate));
        var g = at.Siemens;
        Vector<double> gg = new(g.GridByGrid), gs = new(g.GridByScreen), gp = new(g.GridByPlate);
        Vector<double> sg = new(g.ScreenByGrid), ss = new(g.ScreenByScreen), sp = new(g.ScreenByPlate);
        Vector<double> pg = new(g.PlateByGrid), ps = new(g.PlateByScreen), pp = new(g.PlateByPlate);
        Leaves(tube, new Vector<double>(at.Amps.Grid) + gg * dg + gs * ds + gp * dp, new Vector<double>(at.Amps.Screen) + sg * dg + ss * ds + sp * dp, new Vector<double>(at.Amps.Plate) + pg * dg + ps * ds + pp * dp);
        var places = _pattern.Tubes[tube];
        Add(places, 0, gg, gs, gp);
        Add(places, 4, sg, ss, sp);
        Add(places, 8, pg, ps, pp);
        Add(places, 12, -(gg + sg + pg), -(gs + ss + ps), -(gp + sp + pp));
    }

    private void Stamp(int tube, TubeColumns i, int at)
    {
        Vector<double> gg = new(i.GridByGrid, at), gs = new(i.GridByScreen, at), gp = new(i.GridByPlate, at);
        Vector<double> sg = new(i.ScreenByGrid, at), ss = new(i.ScreenByScreen, at), sp = new(i.ScreenByPlate, at);
        Vector<double> pg = new(i.PlateByGrid, at), ps = new(i.PlateByScreen, at), pp = new(i.PlateByPlate, at);
        Leaves(tube, new(i.Grid, at), new(i.Screen, at), new(i.Plate, at));
        var places = _pattern.Tubes[tube];
        Add(places, 0, gg, gs, gp);
        Add(places, 4, sg, ss, sp);
        Add(places, 8, pg, ps, pp);
        Add(places, 12, -(gg + sg + pg), -(gs + ss + ps), -(gp + sp + pp));
    }

    private void Leaves(int tube, Vector<double> grid, Vector<double> screen, Vector<double> plate)
    {
        var rows = _pattern.RowOf;
        var leads = _circuit.Tubes[tube];
        _side[rows[leads.Grid]] += grid;
        _side[rows[leads.Screen]] += screen;
        _side[rows[leads.Plate]] += plate;
        _side[rows[leads.Cathode]] -= grid + screen + plate;
    }

    private void Add(int[] places, int row, Vector<double> byGrid, Vector<double> byScreen, Vector<double> byPlate)
    {
        _matrix[places[row]] += byGrid;
        _matrix[places[row + 1]] += byScreen;
        _matrix[places[row + 2]] += byPlate;
        _matrix[places[row + 3]] -= byGrid + byScreen + byPlate;
    }

    private Vector<double> Move()
    {
        var rows = _pattern.RowOf;
        var most = Vector<double>.Zero;
        for (var node = 1; node < _volts.Length; node++)
        {
            if (rows[node] >= _circuit.Unknowns) continue;
            var step = _side[rows[node]];
            _volts[node] -= step;
            // Not Max, which may drop what is not a number.
            most += Vector.ConditionalSelect(Vector.LessThanOrEqual(Vector.Abs(step), most), Vector<double>.Zero, Vector.Abs(step) - most);
        }
        return most;
    }

    // Tubes that were not looked at are still cut off.
    private bool IsWithinReach(int row)
    {
        var (tubes, active) = _lanes.Rows[row];
        for (var t = 0; t < tubes.Length; t++)
        {
            if (Array.IndexOf(active, t) >= 0) continue;
            var (grid, screen, plate) = Against(t);
            if (Vector.GreaterThanAny(grid, new(tubes[t].Grid + LaneTable.GridReach)) || Vector.GreaterThanAny(screen, new(tubes[t].Screen + LaneTable.PlateReach))
                || Vector.GreaterThanAny(plate, new(tubes[t].Plate + LaneTable.PlateReach))) return false;
        }
        return true;
    }
}
