namespace SweepRig.Logic.Solving;

/// <summary>Lets a circuit with steady sources go where it goes by itself, in time steps that grow as it comes to rest.</summary>
/// <remarks>
/// Implicit Euler with the circuit's own capacitances (pseudo-transient continuation; Kelley and Keyes 1998, SIAM J. Numer. Anal. 35, 508, from memory). Steps grow
/// while the nodes move little. It has come to rest when a step of a second moves nothing, or when hardly anything moves and the balance without capacitances is right there.
/// </remarks>
internal sealed class Settling
{
    private const double FirstSeconds = 1e-8, LastSeconds = 1, LeastSeconds = 1e-15;
    private const double MostVoltsAStep = 1;
    private const double StillVolts = 1e-3, ThereVolts = 1e-2, RestVolts = 1e-6;
    private const int MostSteps = 600, NewtonSteps = 12, LastSteps = 6;

    // A look for the balance that was in vain is repeated when steps have grown by this.
    private const double NextLook = 16;

    private readonly CircuitValues _values;
    private readonly Newton _newton;
    private readonly Action<Equations> _capacitors;
    private readonly double[] _before, _rest;
    private double _perFarad;

    public Settling(CircuitValues values)
    {
        _values = values;
        // A step in time has errors of its own: balances on the way need no more digits.
        _newton = new(values) { BalanceShare = DcSolver.Rough };
        _capacitors = e => e.AddCapacitors(_perFarad, _rest!);
        _before = new double[values.Circuit.Nodes.Count];
        _rest = new double[values.Farads.Length];
    }

    /// <summary>Where it came to rest, to some microvolts.</summary>
    public ReadOnlySpan<double> Volts => _newton.Equations.Volts;

    /// <param name="start">One a node; those of held nodes are not read.</param>
    /// <param name="isLost">Asked after each step, with <see cref="Volts"/> as they are then; true ends it.</param>
    /// <param name="firstSeconds">The first step; the longer, the sooner it is where it goes, and the less its way there is that of the circuit.</param>
    /// <returns>False when it did not come to rest: it oscillates, the steps became too small, or it was lost.</returns>
    public bool Run(ReadOnlySpan<double> start, double seconds, Func<bool>? isLost = null, double firstSeconds = FirstSeconds)
    {
        var volts = _newton.Equations.Volts;
        start.CopyTo(volts);
        _values.Hold(seconds, 1, volts);
        Array.Clear(_newton.Equations.BranchAmps);
        // Where nothing but the end matters a step that passes a state which does not hold by itself is too long: Newton would look for its balance in vain.
        _newton.StaysPositive = isLost is not null;
        var (step, look) = (firstSeconds, 0.0);
        for (var n = 0; n < MostSteps; n++)
        {
            volts.CopyTo(_before, 0);
            _perFarad = 1 / step;
            var ends = _values.Circuit.Capacitors;
            for (var c = 0; c < _rest.Length; c++) _rest[c] = -_values.Farads[c] * _perFarad * (_before[ends[c].A] - _before[ends[c].B]);
            _newton.Beside = _capacitors;
            if (!_newton.Run(seconds, 1, NewtonSteps))
            {
                _before.CopyTo(volts, 0);
                step *= 0.2;
                if (step < LeastSeconds) return false;
                continue;
            }
            if (isLost is not null && isLost()) return false;
            var moved = Farthest(volts, _before);
            if (step >= LastSeconds && moved < RestVolts) return true;
            if (moved < StillVolts && step >= look)
            {
                if (IsThere(seconds)) return true;
                look = step * NextLook;
            }
            step = Math.Min(LastSeconds, moved > MostVoltsAStep ? step : step * 2);
        }
        return false;
    }

    // What the network would come to stands where it is, and no state that parts others: the rest of the time would change nothing.
    private bool IsThere(double seconds)
    {
        var volts = _newton.Equations.Volts;
        volts.CopyTo(_before, 0);
        _newton.Beside = null;
        if (_newton.Run(seconds, 1, LastSteps) && _newton.Sign > 0 && Farthest(volts, _before) < ThereVolts) return true;
        _before.CopyTo(volts, 0);
        return false;
    }

    private static double Farthest(double[] a, double[] b)
    {
        var farthest = 0.0;
        for (var i = 0; i < a.Length; i++) farthest = Math.Max(farthest, Math.Abs(a[i] - b[i]));
        return farthest;
    }
}
