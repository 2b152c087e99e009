using SweepRig.Logic.Networks;
using SweepRig.Logic.Solving;

namespace SweepRig.Logic.Building;

/// <summary>A network on the bench in numbers: its inputs set, a meter put to one node after the other. Belongs to one thread.</summary>
internal sealed class BuildBench
{
    // A meter that is not there: a hundred times what a clean socket leaks.
    private const double NoMeter = 1e-13, PlaceholderOhms = 1e12;

    // A grid that hangs on nothing is balanced by picoamperes beside milliamperes: rounding leaves no more digits than these, and a meter shows four.
    private const double BalanceShare = 1e-10;

    private readonly Dictionary<string, int> _meterOf, _sourceOf;
    private readonly DcSolver _solver;
    private readonly Settling _settling;
    private readonly double[] _rest;

    /// <param name="network">As built: with its fault, if it has one.</param>
    public BuildBench(Network network)
    {
        var held = network.Parts.OfType<Source>().SelectMany(s => s.Nodes).ToHashSet(StringComparer.Ordinal);
        string[] nodes = [.. network.Nodes.Where(n => !held.Contains(n))];
        var resistors = network.Parts.OfType<Resistor>().Count();
        Values = new(Circuit.Of(new(network.Name, [.. network.Parts, .. nodes.Select((n, at) => new Resistor($"Zmeter{at}", n, Network.Ground, PlaceholderOhms))])));
        for (var n = 0; n < nodes.Length; n++) Values.Siemens[resistors + n] = NoMeter;
        _meterOf = nodes.Select((node, at) => (node, at)).ToDictionary(n => n.node, n => resistors + n.at, StringComparer.Ordinal);
        _sourceOf = network.Parts.OfType<Source>().Select((s, at) => (s.Name, at)).ToDictionary(s => s.Name, s => s.at, StringComparer.Ordinal);
        _solver = new(Values, BalanceShare);
        _settling = new(Values);
        _rest = new double[Values.Circuit.Nodes.Count];
    }

    public CircuitValues Values { get; }

    public ReadOnlySpan<double> Volts => _solver.Volts;

    public double At(string node) => _solver.Volts[Values.Circuit.NodeOf(node)];

    /// <summary>Sets the inputs and lets it go where it goes from the voltages of the sound network.</summary>
    /// <returns>False when it does not come to rest.</returns>
    public bool Set(BuildRow row)
    {
        foreach (var (name, volts) in row.Set) Values.Sources[_sourceOf[name]] = Waveform.Steady(volts);
        var names = Values.Circuit.Nodes;
        Span<double> start = new double[names.Count];
        for (var n = 1; n < start.Length; n++) start[n] = row.Volts.GetValueOrDefault(names[n]);
        if (!(_settling.Run(start, 0) && _solver.TrySolve(_settling.Volts)) && !_solver.TrySolve(start) && !_solver.TrySolve()) return false;
        _solver.Volts.CopyTo(_rest);
        return true;
    }

    /// <summary>From where it rests, after a small change of its values.</summary>
    public bool Again() => _solver.TrySolve(_rest) || _settling.Run(_rest, 0) && _solver.TrySolve(_settling.Volts);

    /// <summary>What a meter shows at a node; a node that a source holds shows the source. NaN when nothing comes to rest with it.</summary>
    public double Read(string node, double meterOhms)
    {
        if (!_meterOf.TryGetValue(node, out var meter)) return Again() ? At(node) : double.NaN;
        Values.Siemens[meter] = 1 / meterOhms;
        var read = Again() ? At(node) : double.NaN;
        Values.Siemens[meter] = NoMeter;
        return read;
    }
}
