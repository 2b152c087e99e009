namespace SweepRig.Logic.Solving;

/// <summary>Damped Newton on the equations of a circuit. Holds the work space of one thread.</summary>
/// <remarks>
/// The step is halved until the sum of squares of the rows, each divided by what its node conducts, has fallen (Armijo). Balanced is a state in which what
/// is left over in each row is within a few hundred units of rounding of what met there; anything else is not a solution, however small the last step was.
/// </remarks>
internal sealed class Newton
{
    /// <summary>A few hundred units of rounding.</summary>
    public const double Exact = 1e-13;

    // A node where less than this flows is judged as if it did: leakage of a clean socket is a thousand times that.
    private const double SmallAmps = 1e-13;
    private const double SmallVolts = 0.01;
    private const int MostHalvings = 24;

    private readonly Equations _equations;
    private readonly double[] _at, _step, _weights;
    private readonly int _nodeUnknowns;

    public Newton(CircuitValues values)
    {
        _equations = new(values);
        _at = new double[_equations.Unknowns];
        _step = new double[_equations.Unknowns];
        _weights = new double[_equations.Unknowns];
        _nodeUnknowns = _equations.Unknowns - values.Circuit.Branches.Length;
    }

    public Equations Equations => _equations;

    /// <summary>Of the determinant at the balance found, sources allowed for: what tells stable from unstable states apart, and counts them.</summary>
    public int Sign { get; private set; }

    public int Evaluations { get; private set; }

    /// <summary>What may be left over, as a share of what met in a row. A step in time has errors of its own and need not be exact.</summary>
    public double BalanceShare { get; init; } = Exact;

    /// <summary>Added by whoever steps through time; called after each evaluation.</summary>
    public Action<Equations>? Beside { get; set; }

    /// <summary>Bends a step, given the unknowns and the step, before it is tried: how a solution that is known already is kept away from.</summary>
    public Func<double[], double[], double>? Bend { get; set; }

    /// <summary>Gives up where the determinant is no longer positive: from a state that holds by itself the way to another near it leads through none that does not.</summary>
    public bool StaysPositive { get; set; }

    /// <summary>Goes from the voltages that are in the equations to a balance.</summary>
    /// <param name="seconds">Moment for the sources.</param>
    /// <param name="share">Of the sources that is on.</param>
    /// <param name="mostSteps">Given up after these.</param>
    /// <returns>True when balanced; the equations then hold it.</returns>
    public bool Run(double seconds, double share, int mostSteps)
    {
        var values = _equations.Values;
        var factors = values.Circuit.Pattern.Factors;
        values.Hold(seconds, share, _equations.Volts);
        Evaluate(seconds, share);
        Weigh();
        var square = Square();
        for (var n = 0; n < mostSteps; n++)
        {
            var balanced = Balanced();
            _equations.Rows.CopyTo(_step);
            if (!factors.Factor(_equations.Matrix, out var sign)) return false;
            Sign = values.Circuit.Branches.Length % 2 == 0 ? sign : -sign;
            if (balanced) return true;
            if (StaysPositive && Sign < 0) return false;
            factors.Solve(_equations.Matrix, _step);
            _equations.Read(_at);
            if (Bend is { } bend)
            {
                // A bent step need not lower the plain rows: it is taken within bounds, and the balance at the end judges it.
                var part = bend(_at, _step);
                _equations.MoveTo(_at, _step, part);
                Evaluate(seconds, share);
                square = Square();
                if (!double.IsFinite(square)) return false;
                continue;
            }
            if (!Descend(seconds, share, ref square)) return false;
        }
        return false;
    }

    private bool Descend(double seconds, double share, ref double square)
    {
        var part = 1.0;
        for (var halving = 0; halving < MostHalvings; halving++, part *= 0.5)
        {
            _equations.MoveTo(_at, _step, part);
            Evaluate(seconds, share);
            var now = Square();
            if (!double.IsFinite(now)) continue;
            if (now > (1 - 1e-4 * part) * square && !Balanced()) continue;
            square = now;
            return true;
        }
        return false;
    }

    private void Evaluate(double seconds, double share)
    {
        _equations.Evaluate(seconds, share);
        Beside?.Invoke(_equations);
        Evaluations++;
    }

    // Rows of nodes are currents; divided by what the node's resistors conduct they are volts, as the rows of sources are.
    private void Weigh()
    {
        var values = _equations.Values;
        var circuit = values.Circuit;
        Array.Fill(_weights, 1e-6);
        for (var r = 0; r < circuit.Resistors.Length; r++)
        {
            var (a, b) = circuit.Resistors[r];
            AddWeight(a, values.Siemens[r]);
            AddWeight(b, values.Siemens[r]);
        }
        for (var i = 0; i < _nodeUnknowns; i++) _weights[i] = 1 / _weights[i];
        for (var i = _nodeUnknowns; i < _weights.Length; i++) _weights[i] = 1;

        void AddWeight(int node, double siemens)
        {
            var row = circuit.Pattern.RowOf[node];
            if (row < _nodeUnknowns) _weights[row] += siemens;
        }
    }

    private double Square()
    {
        var sum = 0.0;
        var rows = _equations.Rows;
        for (var i = 0; i < rows.Length; i++)
        {
            var row = rows[i] * _weights[i];
            sum += row * row;
        }
        return sum;
    }

    private bool Balanced()
    {
        var rows = _equations.Rows;
        var scales = _equations.Scales;
        for (var i = 0; i < rows.Length; i++)
        {
            var least = i < _nodeUnknowns ? SmallAmps : SmallVolts;
            if (!(Math.Abs(rows[i]) <= BalanceShare * (scales[i] + least))) return false;
        }
        return true;
    }
}
