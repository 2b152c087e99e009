using SweepRig.Domain;
using SweepRig.Logic.Margins;
using SweepRig.Logic.Networks;
using SweepRig.Logic.Solving;

namespace SweepRig.Logic.Gates;

/// <summary>Proves a network of gates with the very tubes that it is to have, before anything is soldered.</summary>
/// <remarks>
/// Every pattern of the inputs is held at the levels that a long chain of such stages restores. The margin of a row is the largest voltage that, put adversely in series with
/// every input of every gate at once, leaves every signal on its side: the series noise of Lohstroh 1983 for a network of any shape.
/// </remarks>
public sealed class NetworkChecker
{
    private const double MarginStep = 1e-3, MostStepShare = 1.0 / 16;

    private readonly GateNetwork _network;
    private readonly Circuit _circuit;
    private readonly CircuitValues _values;
    private readonly DcSolver _solver;
    private readonly Settling _settling;
    private readonly Dictionary<string, int> _sourceOf;
    private readonly ChainLevels _levels;

    private NetworkChecker(GateNetwork network, Func<string, TubePart> tube, ChainLevels levels)
    {
        (_network, _levels) = (network, levels);
        _circuit = Circuit.Of(GateWiring.Wire(network, tube, [.. network.Inputs.Select(_ => Waveform.Steady(0))], (_, _) => 0));
        _values = new(_circuit);
        _solver = new(_values);
        _settling = new(_values);
        _sourceOf = _circuit.Network.Parts.OfType<Source>().Select((s, at) => (s.Name, at)).ToDictionary(s => s.Name, s => s.at, StringComparer.Ordinal);
    }

    /// <param name="tube">For each place of <see cref="GateNetwork.Positions"/>.</param>
    /// <returns>Refused when a chain of such stages restores no levels: then nothing stands for high and low.</returns>
    public static Outcome<NetworkCheck> Check(GateNetwork network, Func<string, TubePart> tube, CancellationToken cancel = default)
    {
        ArgumentNullException.ThrowIfNull(network);
        ArgumentNullException.ThrowIfNull(tube);
        var restored = StageTransfer.Levels(network, tube);
        return restored.Map(levels => Check(network, tube, levels, cancel));
    }

    /// <summary>The same with the inputs held at levels of another chain.</summary>
    public static NetworkCheck Check(GateNetwork network, Func<string, TubePart> tube, ChainLevels levels, CancellationToken cancel = default)
    {
        ArgumentNullException.ThrowIfNull(network);
        ArgumentNullException.ThrowIfNull(tube);
        ArgumentNullException.ThrowIfNull(levels);
        var checker = new NetworkChecker(network, tube, levels);
        var rows = new List<CheckedRow>();
        foreach (var inputs in GateTable.InputPatterns(network))
        {
            foreach (var wanted in GateTable.States(network, inputs))
            {
                cancel.ThrowIfCancellationRequested();
                rows.Add(checker.Row(inputs, wanted));
            }
        }
        return new(levels.Low, levels.High, levels.Middle, rows);
    }

    private CheckedRow Row(bool[] inputs, IReadOnlyDictionary<string, bool> wanted)
    {
        foreach (var (name, at) in _network.Inputs.Select((name, at) => (name, at))) _values.Sources[_sourceOf[name]] = Waveform.Steady(inputs[at] ? _levels.High : _levels.Low);
        var start = WantedStart.Of(_network, _values, wanted, _levels);
        if (!Holds(start, wanted, 0, out var wrong)) return new(inputs, wanted, wrong is null ? null : Volts(wanted), false, 0, wrong);
        var volts = Volts(wanted);
        double low = 0, high = _levels.High - _levels.Low;
        string? first = null;
        double[] kept = [.. _solver.Volts];
        while (high - low > MarginStep)
        {
            // In steps, not from the top: beyond a noise that it does not bear a row may hold again where tubes differ much.
            var noise = low + Math.Min(0.5 * (high - low), MostStepShare * (_levels.High - _levels.Low));
            if (Holds(kept, wanted, noise, out wrong))
            {
                low = noise;
                _solver.Volts.CopyTo(kept);
            }
            else (high, first) = (noise, wrong ?? first);
        }
        return new(inputs, wanted, volts, true, low, first);
    }

    private bool Holds(double[] start, IReadOnlyDictionary<string, bool> wanted, double noise, out string? wrong)
    {
        foreach (var gate in _network.Gates)
            for (var at = 0; at < gate.Inputs.Count; at++) _values.Sources[_sourceOf[$"N_{gate.Output}_{at + 1}"]] = Waveform.Steady(wanted[gate.Inputs[at]] ? -noise : noise);
        wrong = null;
        // Noise that comes all at once is a trigger to a cell that edges set: there the state is followed, and must hold by itself.
        if (noise > 0 && _network.MayTip ? !_solver.TrySolve(start) : !_settling.Run(start, 0) || !_solver.TrySolve(_settling.Volts)) return false;
        foreach (var gate in _network.Gates)
        {
            if (_solver.Volts[_circuit.NodeOf(gate.Output)] > _levels.Middle == wanted[gate.Output]) continue;
            wrong = gate.Output;
            return false;
        }
        return !_network.MayTip || Stability.Of(_solver.Newton, 0).IsStable;
    }

    private Dictionary<string, double> Volts(IReadOnlyDictionary<string, bool> wanted) => wanted.Keys.ToDictionary(s => s, s => _solver.Volts[_circuit.NodeOf(s)], StringComparer.Ordinal);
}
