namespace SweepRig.Logic.Solving;

/// <summary>Lets a circuit with steady sources go where it goes by itself, in time steps that grow as it comes to rest.</summary>
/// <remarks>
/// Implicit Euler with the circuit's own capacitances (pseudo-transient continuation; Kelley and Keyes 1998, SIAM J. Numer. Anal. 35, 508, from memory). Steps grow
/// while Newton needs few evaluations and the nodes move little; it has come to rest when a step of a second moves nothing.
/// </remarks>
internal sealed class Settling
{
    private const double FirstSeconds = 1e-8, LastSeconds = 1, LeastSeconds = 1e-15;
    private const double MostVoltsAStep = 1;
    private const int MostSteps = 600, NewtonSteps = 12;

    private readonly CircuitValues _values;
    private readonly Newton _newton;
    private readonly double[] _before, _rest;
    private double _perFarad;

    /// <param name="balanceShare">See <see cref="DcSolver"/>.</param>
    public Settling(CircuitValues values, double balanceShare = Newton.Exact)
    {
        _values = values;
        _newton = new(values) { BalanceShare = balanceShare, Beside = e => e.AddCapacitors(_perFarad, _rest!) };
        _before = new double[values.Circuit.Nodes.Count];
        _rest = new double[values.Farads.Length];
    }

    /// <summary>Where it came to rest.</summary>
    public ReadOnlySpan<double> Volts => _newton.Equations.Volts;

    /// <returns>False when it did not come to rest: it oscillates, or the steps became too small.</returns>
    public bool Run(ReadOnlySpan<double> start, double seconds)
    {
        var volts = _newton.Equations.Volts;
        start.CopyTo(volts);
        _values.Hold(seconds, 1, volts);
        Array.Clear(_newton.Equations.BranchAmps);
        var step = FirstSeconds;
        for (var n = 0; n < MostSteps; n++)
        {
            volts.CopyTo(_before, 0);
            _perFarad = 1 / step;
            var ends = _values.Circuit.Capacitors;
            for (var c = 0; c < _rest.Length; c++) _rest[c] = -_values.Farads[c] * _perFarad * (_before[ends[c].A] - _before[ends[c].B]);
            if (!_newton.Run(seconds, 1, NewtonSteps))
            {
                _before.CopyTo(volts, 0);
                step *= 0.2;
                if (step < LeastSeconds) return false;
                continue;
            }
            var moved = 0.0;
            for (var i = 0; i < volts.Length; i++) moved = Math.Max(moved, Math.Abs(volts[i] - _before[i]));
            if (step >= LastSeconds && moved < 1e-9) return true;
            step = Math.Min(LastSeconds, moved > MostVoltsAStep ? step : step * 2);
        }
        return false;
    }
}
