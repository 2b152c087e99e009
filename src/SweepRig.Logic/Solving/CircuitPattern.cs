namespace SweepRig.Logic.Solving;

/// <summary>Where each part enters the matrix of the equations. A place that a held node would have is the last one, which nothing reads.</summary>
internal sealed class CircuitPattern
{
    private readonly int _unknowns;

    /// <param name="last">Nodes that are eliminated after all others; null where their order does not matter.</param>
    public CircuitPattern(Circuit circuit, IEnumerable<int>? last = null)
    {
        _unknowns = circuit.Unknowns;
        var nodes = circuit.UnknownOf.Count(u => u >= 0);
        RowOf = [.. circuit.UnknownOf.Select(u => u < 0 ? _unknowns : u)];
        var places = new HashSet<(int Row, int Column)>();
        for (var i = 0; i < nodes; i++) places.Add((i, i));
        foreach (var (a, b) in circuit.Resistors.Concat(circuit.Capacitors).Concat(circuit.Diodes)) Couple(places, [a, b]);
        foreach (var tube in circuit.Tubes) Couple(places, [tube.Grid, tube.Screen, tube.Plate, tube.Cathode]);
        for (var b = 0; b < circuit.Branches.Length; b++)
        {
            foreach (var node in (int[])[circuit.Branches[b].Plus, circuit.Branches[b].Minus])
            {
                Add(places, RowOf[node], nodes + b);
                Add(places, nodes + b, RowOf[node]);
            }
        }
        Factors = new(_unknowns, places, (last ?? []).Select(n => RowOf[n]).Where(r => r < _unknowns).ToHashSet());
        Resistors = [.. circuit.Resistors.Select(Two)];
        Capacitors = [.. circuit.Capacitors.Select(Two)];
        Diodes = [.. circuit.Diodes.Select(Two)];
        Tubes = [.. circuit.Tubes.Select(Four)];
        Branches = [.. circuit.Branches.Select((b, at) => new BranchPlaces(At(b.Plus, nodes + at), At(b.Minus, nodes + at), Row(nodes + at, b.Plus), Row(nodes + at, b.Minus)))];

        int Row(int branch, int node) => RowOf[node] == _unknowns ? Factors.Spare : Factors.At(branch, RowOf[node]);
        int At(int node, int column) => RowOf[node] == _unknowns ? Factors.Spare : Factors.At(RowOf[node], column);
    }

    /// <summary>Of each node its row; the row after the last for a held one.</summary>
    public int[] RowOf { get; }

    public SparseFactors Factors { get; }

    public TwoPlaces[] Resistors { get; }

    public TwoPlaces[] Capacitors { get; }

    public TwoPlaces[] Diodes { get; }

    /// <summary>Of each tube the places of rows grid, screen, plate, cathode by columns grid, screen, plate, cathode.</summary>
    public int[][] Tubes { get; }

    public BranchPlaces[] Branches { get; }

    private TwoPlaces Two((int A, int B) ends) => new(Place(ends.A, ends.A), Place(ends.A, ends.B), Place(ends.B, ends.A), Place(ends.B, ends.B));

    private int[] Four(TubeLeads tube)
    {
        int[] leads = [tube.Grid, tube.Screen, tube.Plate, tube.Cathode];
        return [.. leads.SelectMany(_ => leads, Place)];
    }

    private int Place(int row, int column) => RowOf[row] == _unknowns || RowOf[column] == _unknowns ? Factors.Spare : Factors.At(RowOf[row], RowOf[column]);

    private void Couple(HashSet<(int Row, int Column)> places, int[] nodes)
    {
        foreach (var a in nodes)
            foreach (var b in nodes) Add(places, RowOf[a], RowOf[b]);
    }

    private void Add(HashSet<(int Row, int Column)> places, int row, int column)
    {
        if (row < _unknowns && column < _unknowns) places.Add((row, column));
    }
}

/// <summary>Places of a part with two leads.</summary>
internal readonly record struct TwoPlaces(int AA, int AB, int BA, int BB);

/// <summary>Places of the current of a source in the rows of its nodes, and of its nodes in its own row.</summary>
internal readonly record struct BranchPlaces(int PlusCurrent, int MinusCurrent, int PlusVolts, int MinusVolts);
