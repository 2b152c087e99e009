using SweepRig.Domain;
using SweepRig.Domain.Quantities;

namespace SweepRig.Logic.Solving;

/// <summary>Follows a circuit through time. Holds the work space of one thread.</summary>
/// <remarks>
/// Trapezoidal rule with steps chosen by the error of each, which the third divided difference of the voltages tells; two implicit Euler steps after each corner of a
/// source, where the trapezoidal rule would ring (Nagel 1975, SPICE2, Memorandum ERL-M520, Berkeley, chapter 5, from memory). No step is taken that Newton has not balanced.
/// </remarks>
public sealed class TransientSolver
{
    private const double StepBalance = 1e-9;
    private const int NewtonSteps = 10;
    private const double LeastShareOfEnd = 1e-12;
    private const double AtOnceSeconds = 1e-15;

    private readonly CircuitValues _values;
    private readonly Newton _newton;
    private readonly TransientOptions _options;
    private readonly StepHistory _history;
    private readonly double[] _chargeAmps, _rest, _guess;
    private double _perFarad;

    public TransientSolver(CircuitValues values, TransientOptions? options = null)
    {
        ArgumentNullException.ThrowIfNull(values);
        _values = values;
        _options = options ?? new();
        _newton = new(values) { Beside = e => e.AddCapacitors(_perFarad, _rest!), BalanceShare = StepBalance };
        _history = new(values.Circuit.Nodes.Count);
        _chargeAmps = new double[values.Farads.Length];
        _rest = new double[values.Farads.Length];
        _guess = new double[values.Circuit.Nodes.Count];
    }

    /// <param name="start">Voltages of all nodes at 0 s: a balance, or a state that the circuit was forced into and is now left alone in.</param>
    /// <param name="endSeconds">Above 0.</param>
    /// <returns>The whole way, or why it ended before.</returns>
    /// <exception cref="ArgumentException">Not one voltage a node, or an end that is not above 0 s.</exception>
    public Outcome<Transient> Run(IReadOnlyList<double> start, double endSeconds, CancellationToken cancel = default)
    {
        ArgumentNullException.ThrowIfNull(start);
        var circuit = _values.Circuit;
        if (start.Count != circuit.Nodes.Count) throw new ArgumentException($"Given are {start.Count} voltages; the circuit has {circuit.Nodes.Count} nodes. Give one a node.", nameof(start));
        if (!(endSeconds > 0)) throw new ArgumentOutOfRangeException(nameof(endSeconds), endSeconds, "The end must be above 0 s.");
        var record = new TransientRecord(circuit);
        var volts = _newton.Equations.Volts;
        for (var n = 0; n < volts.Length; n++) volts[n] = start[n];
        _values.Hold(0, 1, volts);
        Array.Clear(_newton.Equations.BranchAmps);
        Array.Clear(_chargeAmps);
        _history.Restart(0, volts);
        // Nodes without capacitance follow the others at once: the start is made true for them by a step in which nothing else has time to move.
        if (!Try(0, Math.Min(AtOnceSeconds, endSeconds * LeastShareOfEnd), euler: true)) return Failed(0, "where the start cannot be met", "Start from a balance, or from voltages that the nodes can have.");
        _history.Restart(0, volts);
        record.Add(0, volts);

        var longest = _options.LongestSeconds ?? endSeconds / 50;
        var step = Math.Min(longest, endSeconds * 1e-6);
        var (time, eulers, steps) = (0.0, 2, 0);
        var corner = NextCorner(0, endSeconds);
        while (time < endSeconds)
        {
            cancel.ThrowIfCancellationRequested();
            if (++steps > _options.MostSteps) return Failed(time, $"after {_options.MostSteps} steps", "Shorten the time looked at, or allow a larger error.");
            if (step < endSeconds * LeastShareOfEnd) return Failed(time, "where no step is short enough", "Look for a part with a far too small or large value near the nodes that change there.");
            var hits = time + step >= corner * (1 - 1e-12);
            var next = hits ? corner : time + step;
            if (!Try(time, next, eulers > 0))
            {
                step = (next - time) * 0.25;
                continue;
            }
            var error = _history.Error(next, volts, eulers > 0, _options);
            // A hair above 1 is let pass: repeating the step costs more than it gains.
            if (error > 1.5)
            {
                step = (next - time) * Math.Clamp(0.9 * Math.Pow(error, eulers > 0 ? -0.5 : -1.0 / 3), 0.1, 0.7);
                continue;
            }
            Charge(eulers > 0);
            var taken = next - time;
            time = next;
            record.Add(time, volts);
            if (hits && time < endSeconds)
            {
                corner = NextCorner(time, endSeconds);
                _history.Restart(time, volts);
                eulers = 2;
                step = Math.Min(Math.Min(taken, longest), (corner - time) * 1e-3);
                continue;
            }
            _history.Add(time, volts);
            eulers = Math.Max(0, eulers - 1);
            step = Math.Min(longest, taken * Math.Clamp(0.9 * Math.Pow(Math.Max(error, 1e-6), -1.0 / 3), 0.3, 2));
        }
        return Outcome<Transient>.Accept(record.End());
    }

    private bool Try(double time, double next, bool euler)
    {
        var step = next - time;
        var ends = _values.Circuit.Capacitors;
        var before = _history.Last;
        _perFarad = (euler ? 1 : 2) / step;
        for (var c = 0; c < _rest.Length; c++)
        {
            var (a, b) = ends[c];
            _rest[c] = -_values.Farads[c] * _perFarad * (before[a] - before[b]) - (euler ? 0 : _chargeAmps[c]);
        }
        _history.Predict(next, _guess);
        _guess.CopyTo(_newton.Equations.Volts, 0);
        if (_newton.Run(next, 1, NewtonSteps)) return true;
        before.CopyTo(_newton.Equations.Volts);
        return _newton.Run(next, 1, NewtonSteps);
    }

    private void Charge(bool euler)
    {
        var ends = _values.Circuit.Capacitors;
        var volts = _newton.Equations.Volts;
        var before = _history.Last;
        for (var c = 0; c < _chargeAmps.Length; c++)
        {
            var (a, b) = ends[c];
            var through = _values.Farads[c] * _perFarad * (volts[a] - volts[b] - before[a] + before[b]);
            _chargeAmps[c] = euler ? through : through - _chargeAmps[c];
        }
    }

    private double NextCorner(double time, double end)
    {
        var next = end;
        foreach (var source in _values.Sources)
            if (source.NextCorner(time) is { } corner) next = Math.Min(next, corner);
        return next;
    }

    private static Outcome<Transient> Failed(double time, string why, string remedy) => Outcome<Transient>.Refuse(new Refusal(
        "transient-unfinished", "", $"the transient stops at {Engineering.Format(time, "s", 4)}", why, remedy));
}
