using SweepRig.Logic.Networks;
using SweepRig.Tubes.Model;

namespace SweepRig.Logic.Solving;

/// <summary>
/// Kirchhoff's equations of a circuit at one moment: the sum of the currents that leave each node, and of each branch source its voltage less what it should be.
/// Holds the work space of one thread; nothing is allocated from one evaluation to the next.
/// </summary>
internal sealed class Equations
{
    private readonly Circuit _circuit;
    private readonly CircuitPattern _pattern;
    private readonly double[] _matrix, _rows, _scales;
    private readonly int _nodeUnknowns;
    private readonly TubeBank _bank;

    public Equations(CircuitValues values)
    {
        Values = values;
        _circuit = values.Circuit;
        _pattern = _circuit.Pattern;
        _matrix = new double[_pattern.Factors.Count];
        _rows = new double[_circuit.Unknowns + 1];
        _scales = new double[_circuit.Unknowns + 1];
        _nodeUnknowns = _circuit.Unknowns - _circuit.Branches.Length;
        Volts = new double[_circuit.Nodes.Count];
        BranchAmps = new double[_circuit.Branches.Length];
        _bank = new(_circuit.Tubes.Length);
    }

    public CircuitValues Values { get; set; }

    public int Unknowns => _circuit.Unknowns;

    /// <summary>Of each node; those of held nodes are written by <see cref="CircuitValues.Hold"/>.</summary>
    public double[] Volts { get; }

    public double[] BranchAmps { get; }

    /// <summary>What is left over in each row after <see cref="Evaluate"/>; the last one is that of the held nodes.</summary>
    public ReadOnlySpan<double> Rows => _rows.AsSpan(0, _circuit.Unknowns);

    /// <summary>The sum of the magnitudes that met in each row: what rounding is judged by.</summary>
    public ReadOnlySpan<double> Scales => _scales.AsSpan(0, _circuit.Unknowns);

    public double[] Matrix => _matrix;

    /// <summary>Moves all unknowns along a step.</summary>
    /// <param name="from">Unknowns before.</param>
    public void MoveTo(ReadOnlySpan<double> from, ReadOnlySpan<double> step, double part)
    {
        var rows = _pattern.RowOf;
        for (var node = 1; node < Volts.Length; node++)
        {
            var row = rows[node];
            if (row < Unknowns) Volts[node] = from[row] - part * step[row];
        }
        for (var b = 0; b < BranchAmps.Length; b++) BranchAmps[b] = from[_nodeUnknowns + b] - part * step[_nodeUnknowns + b];
    }

    public void Read(Span<double> unknowns)
    {
        var rows = _pattern.RowOf;
        for (var node = 1; node < Volts.Length; node++)
            if (rows[node] < Unknowns) unknowns[rows[node]] = Volts[node];
        for (var b = 0; b < BranchAmps.Length; b++) unknowns[_nodeUnknowns + b] = BranchAmps[b];
    }

    /// <summary>Rows, their scales and the matrix of their derivatives at the present voltages.</summary>
    /// <param name="seconds">Moment, for the branch sources.</param>
    /// <param name="share">Of the sources that is on.</param>
    public void Evaluate(double seconds, double share)
    {
        Array.Clear(_matrix);
        Array.Clear(_rows);
        Array.Clear(_scales);
        Resistors();
        Tubes();
        Diodes();
        Branches(seconds, share);
    }

    /// <summary>Adds conductances with currents beside them at the places of the capacitors: what a step in time makes of them.</summary>
    /// <param name="siemensPerFarad">Conductance over capacitance.</param>
    /// <param name="restAmps">Current of each capacitor at no voltage.</param>
    public void AddCapacitors(double siemensPerFarad, ReadOnlySpan<double> restAmps)
    {
        var ends = _circuit.Capacitors;
        for (var c = 0; c < ends.Length; c++)
        {
            var (a, b) = ends[c];
            var siemens = siemensPerFarad * Values.Farads[c];
            Conductance(a, b, siemens, siemens * (Volts[a] - Volts[b]) + restAmps[c], _pattern.Capacitors[c]);
        }
    }

    private void Resistors()
    {
        var ends = _circuit.Resistors;
        for (var r = 0; r < ends.Length; r++)
        {
            var (a, b) = ends[r];
            var siemens = Values.Siemens[r];
            Conductance(a, b, siemens, siemens * (Volts[a] - Volts[b]), _pattern.Resistors[r]);
        }
    }

    private void Conductance(int a, int b, double siemens, double amps, in TwoPlaces places)
    {
        int rowA = _pattern.RowOf[a], rowB = _pattern.RowOf[b];
        _rows[rowA] += amps;
        _rows[rowB] -= amps;
        // The difference of two voltages is rounded in the unit of the voltages, however small the difference.
        var scale = siemens * (Math.Abs(Volts[a]) + Math.Abs(Volts[b])) + Math.Abs(amps);
        _scales[rowA] += scale;
        _scales[rowB] += scale;
        _matrix[places.AA] += siemens;
        _matrix[places.BB] += siemens;
        _matrix[places.AB] -= siemens;
        _matrix[places.BA] -= siemens;
    }

    private void Diodes()
    {
        var ends = _circuit.Diodes;
        for (var d = 0; d < ends.Length; d++)
        {
            var (a, b) = ends[d];
            var amps = Values.Diodes[d].Current(Volts[a] - Volts[b], out var slope);
            Conductance(a, b, slope, amps, _pattern.Diodes[d]);
        }
    }

    private void Tubes()
    {
        var tubes = _circuit.Tubes;
        for (var t = 0; t < tubes.Length; t++)
        {
            var (grid, screen, plate, cathode) = tubes[t];
            var k = Volts[cathode];
            _bank.Put(t, Values.Tubes[t]);
            _bank.Set(t, Volts[grid] - k, Volts[screen] - k, Volts[plate] - k);
        }
        _bank.Evaluate();
        var i = _bank.Results;
        for (var t = 0; t < tubes.Length; t++)
        {
            var (grid, screen, plate, cathode) = tubes[t];
            var at = _pattern.Tubes[t];
            if (Values.Curves[t] is { } curve)
            {
                Measured(curve, tubes[t], at);
                continue;
            }
            double gg = i.GridByGrid[t], gs = i.GridByScreen[t], gp = i.GridByPlate[t];
            double sg = i.ScreenByGrid[t], ss = i.ScreenByScreen[t], sp = i.ScreenByPlate[t];
            double pg = i.PlateByGrid[t], ps = i.PlateByScreen[t], pp = i.PlateByPlate[t];
            Add(at, 0, gg, gs, gp);
            Add(at, 4, sg, ss, sp);
            Add(at, 8, pg, ps, pp);
            Add(at, 12, -(gg + sg + pg), -(gs + ss + ps), -(gp + sp + pp));
            Leaves(grid, i.Grid[t]);
            Leaves(screen, i.Screen[t]);
            Leaves(plate, i.Plate[t]);
            Leaves(cathode, -(i.Grid[t] + i.Screen[t] + i.Plate[t]));
        }
    }

    private void Measured(MeasuredCurve curve, in TubeLeads leads, int[] at)
    {
        var (plate, plateSlope, grid, gridSlope) = curve.At(Volts[leads.Grid] - Volts[leads.Cathode]);
        Add(at, 0, gridSlope, 0, 0);
        Add(at, 8, plateSlope, 0, 0);
        Add(at, 12, -(gridSlope + plateSlope), 0, 0);
        Leaves(leads.Grid, grid);
        Leaves(leads.Plate, plate);
        Leaves(leads.Cathode, -(grid + plate));
    }

    private void Add(int[] at, int row, double byGrid, double byScreen, double byPlate)
    {
        _matrix[at[row]] += byGrid;
        _matrix[at[row + 1]] += byScreen;
        _matrix[at[row + 2]] += byPlate;
        _matrix[at[row + 3]] -= byGrid + byScreen + byPlate;
    }

    private void Leaves(int node, double amps)
    {
        var row = _pattern.RowOf[node];
        _rows[row] += amps;
        _scales[row] += Math.Abs(amps);
    }

    private void Branches(double seconds, double share)
    {
        for (var b = 0; b < BranchAmps.Length; b++)
        {
            var (plus, minus, source) = _circuit.Branches[b];
            var places = _pattern.Branches[b];
            Leaves(plus, BranchAmps[b]);
            Leaves(minus, -BranchAmps[b]);
            var row = _nodeUnknowns + b;
            var wanted = share * Values.Sources[source].At(seconds);
            _rows[row] = Volts[plus] - Volts[minus] - wanted;
            _scales[row] = Math.Abs(Volts[plus]) + Math.Abs(Volts[minus]) + Math.Abs(wanted);
            _matrix[places.PlusCurrent] += 1;
            _matrix[places.MinusCurrent] -= 1;
            _matrix[places.PlusVolts] += 1;
            _matrix[places.MinusVolts] -= 1;
        }
    }
}
