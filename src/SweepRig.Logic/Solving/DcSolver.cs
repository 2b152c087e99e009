namespace SweepRig.Logic.Solving;

/// <summary>Direct voltages and currents of a circuit. Holds the work space of one thread; make one for each.</summary>
/// <remarks>
/// Damped Newton from a start; where that gives up, the sources are brought up from nothing in steps (continuation), and where that gives up too, the circuit
/// is let settle by itself in time. What none of them balances is returned as unsolved, without any number.
/// </remarks>
public sealed class DcSolver
{
    private const int FirstSteps = 60, StepsOfShare = 25;
    private const double LeastShareStep = 1e-4;

    private readonly Circuit _circuit;
    private readonly Newton _newton;
    private readonly double[] _kept;

    public DcSolver(CircuitValues values)
        : this(values, Newton.Exact)
    {
    }

    /// <param name="balanceShare">What may be left over, as a share of what met at a node: a search or a trial needs fewer digits than an answer.</param>
    internal DcSolver(CircuitValues values, double balanceShare)
    {
        ArgumentNullException.ThrowIfNull(values);
        _circuit = values.Circuit;
        _newton = new(values) { BalanceShare = balanceShare };
        _kept = new double[_circuit.Nodes.Count];
    }

    /// <summary>Values to solve with; of the same circuit.</summary>
    /// <exception cref="ArgumentException">They are of another circuit.</exception>
    public CircuitValues Values
    {
        get => _newton.Equations.Values;
        set
        {
            ArgumentNullException.ThrowIfNull(value);
            if (value.Circuit != _circuit) throw new ArgumentException("The values are of another circuit; make a solver for it.", nameof(value));
            _newton.Equations.Values = value;
        }
    }

    /// <summary>Voltages of all nodes after a solution was found; valid until the next one. Unit: V.</summary>
    public ReadOnlySpan<double> Volts => _newton.Equations.Volts;

    /// <summary>Evaluations of all parts that the last solution took.</summary>
    public int Evaluations => _newton.Evaluations;

    /// <summary>Balance for searches and trials: voltages good to some tens of microvolts.</summary>
    internal const double Rough = 1e-8;

    internal Newton Newton => _newton;

    /// <summary>Solves from no start: one balance of the circuit, stable or not. <see cref="StateFinder"/> finds them all.</summary>
    /// <param name="seconds">Moment at which the sources are taken.</param>
    public OperatingPoint? Solve(double seconds = 0) => TrySolve(seconds) ? Point() : null;

    /// <summary>Solves from voltages near which a balance is looked for.</summary>
    /// <param name="start">One a node, in the order of <see cref="Circuit.Nodes"/>; those of held nodes are not read.</param>
    /// <param name="seconds">Moment at which the sources are taken.</param>
    /// <exception cref="ArgumentException">Not one voltage a node.</exception>
    public OperatingPoint? Solve(ReadOnlySpan<double> start, double seconds = 0) => TrySolve(start, seconds) ? Point() : null;

    /// <summary>As <see cref="Solve(ReadOnlySpan{double}, double)"/>, leaving the result in <see cref="Volts"/>: no allocation.</summary>
    public bool TrySolve(ReadOnlySpan<double> start, double seconds = 0)
    {
        if (start.Length != _circuit.Nodes.Count)
            throw new ArgumentException($"Given are {start.Length} voltages; the circuit has {_circuit.Nodes.Count} nodes. Give one a node.", nameof(start));
        start.CopyTo(_newton.Equations.Volts);
        Array.Clear(_newton.Equations.BranchAmps);
        return _newton.Run(seconds, 1, FirstSteps);
    }

    /// <summary>As <see cref="Solve(double)"/>, leaving the result in <see cref="Volts"/>.</summary>
    public bool TrySolve(double seconds = 0)
    {
        FirstGuess.Write(Values, seconds, _newton.Equations.Volts);
        Array.Clear(_newton.Equations.BranchAmps);
        return _newton.Run(seconds, 1, FirstSteps) || Raise(seconds);
    }

    private bool Raise(double seconds)
    {
        var volts = _newton.Equations.Volts;
        Array.Clear(volts);
        Array.Clear(_newton.Equations.BranchAmps);
        if (!_newton.Run(seconds, 0, FirstSteps)) return false;
        double share = 0, step = 0.1;
        while (share < 1)
        {
            volts.CopyTo(_kept.AsSpan());
            var next = Math.Min(1, share + step);
            if (_newton.Run(seconds, next, StepsOfShare))
            {
                share = next;
                step *= 1.5;
                continue;
            }
            _kept.CopyTo(volts.AsSpan());
            step *= 0.25;
            if (step < LeastShareStep) return false;
        }
        return true;
    }

    /// <summary>What stands in the work space, kept.</summary>
    internal OperatingPoint Point() => OperatingPoint.Of(_newton);
}
