using SweepRig.Domain;
using SweepRig.Domain.Quantities;
using SweepRig.Logic.Solving;

namespace SweepRig.Logic.Timing;

/// <summary>Which start leads where.</summary>
/// <param name="States">Stable states, as <see cref="StartRegions.States"/>.</param>
/// <param name="Across">Voltages of the first node. Unit: V.</param>
/// <param name="Up">Voltages of the second.</param>
/// <param name="LeadsTo">Of each voltage of the second node, for each of the first, which state; null where it did not settle.</param>
public sealed record StartMap(IReadOnlyList<NetworkState> States, IReadOnlyList<double> Across, IReadOnlyList<double> Up, IReadOnlyList<IReadOnlyList<int?>> LeadsTo);

/// <summary>Where the way of a network parts, on a straight line between two starts.</summary>
/// <param name="Before">Last start on the line that leads where the first does: voltages of the two nodes.</param>
/// <param name="After">Nearest that does not.</param>
/// <param name="StateBefore">Where the first leads.</param>
/// <param name="StateAfter">Where the other leads.</param>
public sealed record StartDivide((double Across, double Up) Before, (double Across, double Up) After, int StateBefore, int StateAfter);

/// <summary>Leaves a network alone from voltages that two of its nodes were forced to, and sees in which of its stable states it ends. Belongs to one thread.</summary>
/// <remarks>All other nodes start where their resistors pull them. The way is followed in time with every capacitance, because that, not the nearest balance, decides.</remarks>
public sealed class StartRegions
{
    private const int MostDoublings = 14;
    private const double ArrivedVolts = 0.05;

    private readonly CircuitValues _values;
    private readonly TransientSolver _solver;
    private readonly int _across, _up;
    private readonly double _span;

    private StartRegions(CircuitValues values, IReadOnlyList<NetworkState> states, int across, int up)
    {
        (_values, States, _across, _up) = (values, states, across, up);
        _solver = new(values, new() { RelativeTolerance = 1e-3, AbsoluteVolts = 1e-3 });
        _span = Math.Max(1e-6, 10 * states.Max(s => s.SlowestSeconds));
    }

    /// <summary>Stable states, numbered as everything here counts them.</summary>
    public IReadOnlyList<NetworkState> States { get; }

    /// <param name="across">First node that is forced.</param>
    /// <param name="up">Second.</param>
    /// <returns>Refused when a source holds one of the nodes, or when the network has no stable state.</returns>
    /// <exception cref="ArgumentException">The network has no such node.</exception>
    public static Outcome<StartRegions> For(CircuitValues values, string across, string up, CancellationToken cancel = default)
    {
        ArgumentNullException.ThrowIfNull(values);
        var circuit = values.Circuit;
        foreach (var node in (string[])[across, up])
        {
            if (circuit.UnknownOf[circuit.NodeOf(node)] < 0)
                return Outcome<StartRegions>.Refuse(new Refusal("node-held", "", $"node {node} is held by a source", "a start is forced on nodes that are free afterwards", "Name the plates of the bistable."));
        }
        var stable = StateFinder.Find(values, cancel: cancel).Stable;
        if (stable.Count == 0) return Outcome<StartRegions>.Refuse(new Refusal("no-stable-state", "", $"{circuit.Network.Name} has no stable state", "a start has to lead to one", "It oscillates; look at its transient."));
        return Outcome<StartRegions>.Accept(new(values, stable, circuit.NodeOf(across), circuit.NodeOf(up)));
    }

    /// <returns>The number of the state; null when none is reached in the time that can be followed, as on the divide itself.</returns>
    public int? LeadsTo(double across, double up, CancellationToken cancel = default)
    {
        var circuit = _values.Circuit;
        var volts = new double[circuit.Nodes.Count];
        _values.Hold(0, 1, volts);
        var free = new bool[volts.Length];
        for (var n = 0; n < free.Length; n++) free[n] = circuit.UnknownOf[n] >= 0;
        (volts[_across], volts[_up], free[_across], free[_up]) = (across, up, false, false);
        FirstGuess.Complete(_values, free, volts);
        var span = _span;
        for (var n = 0; n < MostDoublings; n++, span *= 2)
        {
            if (_solver.Run(volts, span, cancel).Value is not { } way) return null;
            volts = way.Last;
            for (var s = 0; s < States.Count; s++)
                if (Enumerable.Range(0, volts.Length).All(v => Math.Abs(volts[v] - States[s].Point.Volts[v]) < ArrivedVolts)) return s;
        }
        return null;
    }

    /// <summary>Every pair of voltages.</summary>
    public StartMap Map(IReadOnlyList<double> across, IReadOnlyList<double> up, CancellationToken cancel = default)
    {
        ArgumentNullException.ThrowIfNull(across);
        ArgumentNullException.ThrowIfNull(up);
        return new(States, across, up, [.. up.Select(y => (IReadOnlyList<int?>)[.. across.Select(x => LeadsTo(x, y, cancel))])]);
    }

    /// <summary>Halves the line between two starts until the divide is known to a millivolt.</summary>
    /// <returns>Refused when both lead to the same state, or one to none.</returns>
    public Outcome<StartDivide> Divide((double Across, double Up) from, (double Across, double Up) to, CancellationToken cancel = default)
    {
        const double fineVolts = 1e-3;
        if (LeadsTo(from.Across, from.Up, cancel) is not { } first || LeadsTo(to.Across, to.Up, cancel) is not { } last || first == last)
        {
            return Outcome<StartDivide>.Refuse(new Refusal("no-divide", "", $"the starts at {Volts(from)} and {Volts(to)} do not lead to two different states", "a divide lies between starts that lead apart",
                "Take starts nearer to two different states."));
        }
        while (Math.Max(Math.Abs(to.Across - from.Across), Math.Abs(to.Up - from.Up)) > fineVolts)
        {
            (double Across, double Up) middle = (0.5 * (from.Across + to.Across), 0.5 * (from.Up + to.Up));
            // Where it does not settle it stands on the divide itself: that side is taken as the far one.
            if (LeadsTo(middle.Across, middle.Up, cancel) is { } here && here == first) from = middle;
            else to = middle;
        }
        return Outcome<StartDivide>.Accept(new(from, to, first, LeadsTo(to.Across, to.Up, cancel) ?? last));
    }

    private static string Volts((double Across, double Up) start) => $"{Engineering.Format(start.Across, "V", 3)} and {Engineering.Format(start.Up, "V", 3)}";
}
