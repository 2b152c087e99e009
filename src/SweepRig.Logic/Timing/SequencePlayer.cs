using SweepRig.Domain;
using SweepRig.Logic.Gates;
using SweepRig.Logic.Margins;
using SweepRig.Logic.Networks;
using SweepRig.Logic.Solving;

namespace SweepRig.Logic.Timing;

/// <summary>Plays sequences of inputs through a network in time and holds what it does against <see cref="SequenceTable"/>. Belongs to one thread.</summary>
public sealed class SequencePlayer
{
    private readonly Func<string, TubePart> _tube;

    private SequencePlayer(GateNetwork network, Func<string, TubePart> tube, ChainLevels levels) => (Network, _tube, Levels) = (network, tube, levels);

    public GateNetwork Network { get; }

    /// <summary>What a long chain of the network's stages restores.</summary>
    public ChainLevels Levels { get; }

    /// <param name="tube">For each place of <see cref="GateNetwork.Positions"/>.</param>
    /// <returns>Refused when a chain of such stages restores no levels.</returns>
    public static Outcome<SequencePlayer> For(GateNetwork network, Func<string, TubePart> tube)
    {
        ArgumentNullException.ThrowIfNull(network);
        ArgumentNullException.ThrowIfNull(tube);
        // A chain of like stages is reckoned with one tube many times over, which no bench could do: it goes without its number.
        return StageTransfer.Levels(network, p => tube(p) with { Number = null }).Map(levels => new SequencePlayer(network, tube, levels));
    }

    /// <summary>Every state in which the network may stand before a sequence.</summary>
    public IReadOnlyList<IReadOnlyDictionary<string, bool>> Starts(IReadOnlyList<bool> inputs) => GateTable.States(Network, inputs);

    /// <param name="start">Of every signal, as <see cref="Starts"/> gives it for the first step.</param>
    /// <returns>How it went, right or wrong; refused when the network cannot stand in the start, or the way cannot be followed.</returns>
    /// <exception cref="ArgumentException">No steps, a step without its inputs, or one shorter than an edge.</exception>
    public Outcome<SequenceRun> Play(IReadOnlyList<SequenceStep> steps, IReadOnlyDictionary<string, bool> start, SequenceOptions? options = null, CancellationToken cancel = default)
    {
        ArgumentNullException.ThrowIfNull(steps);
        ArgumentNullException.ThrowIfNull(start);
        options ??= new();
        if (steps.Count == 0) throw new ArgumentException("A sequence needs a step.", nameof(steps));
        foreach (var step in steps)
        {
            if (step.Inputs.Count != Network.Inputs.Count) throw new ArgumentException($"A step has {step.Inputs.Count} inputs; {Network.Name} has {Network.Inputs.Count}.", nameof(steps));
            if (!(step.Seconds > options.EdgeSeconds)) throw new ArgumentException($"A step lasts {step.Seconds} s; it must be longer than an edge of {options.EdgeSeconds} s.", nameof(steps));
        }
        var values = new CircuitValues(Circuit.Of(GateWiring.Wire(Network, _tube, [.. Network.Inputs.Select((name, at) => InputWave.Of(steps, at, LevelsOf(name, options), options.EdgeSeconds))])));
        var settling = new Settling(values);
        if (!settling.Run(WantedStart.Of(Network, values, start, Levels), 0) || Wrong(values.Circuit, settling.Volts, start) is not null)
        {
            return Outcome<SequenceRun>.Refuse(new Refusal("no-such-start", "", $"{Network.Name} does not stay in the state that the sequence starts from",
                "it has to rest there with these tubes and values", "Check its table with its tubes first, or start from another state."));
        }
        double[] first = [.. settling.Volts];
        var solver = new DcSolver(values);
        if (solver.TrySolve(first)) solver.Volts.CopyTo(first);
        var way = new TransientSolver(values, options.Transient).Run(first, steps.Sum(s => s.Seconds), cancel);
        return way.Map(transient => new SequenceRun(transient, Levels, Rows(transient, steps, start)));
    }

    private (double Low, double High) LevelsOf(string input, SequenceOptions options) => options.Levels.TryGetValue(input, out var own) ? own : (Levels.Low, Levels.High);

    private List<SequenceRow> Rows(Transient transient, IReadOnlyList<SequenceStep> steps, IReadOnlyDictionary<string, bool> start)
    {
        var rows = new List<SequenceRow>();
        IReadOnlyDictionary<string, bool>? wanted = start;
        var end = 0.0;
        foreach (var (step, at) in steps.Select((step, at) => (step, at)))
        {
            end += step.Seconds;
            if (at > 0 && wanted is not null) wanted = SequenceTable.Next(Network, wanted, step.Inputs);
            double[] volts = [.. transient.Circuit.Nodes.Select(n => n == Networks.Network.Ground ? 0 : transient.At(n, end))];
            rows.Add(new(step, end, wanted, Network.Gates.ToDictionary(g => g.Output, g => volts[transient.Circuit.NodeOf(g.Output)], StringComparer.Ordinal), wanted is null ? null : Wrong(transient.Circuit, volts, wanted)));
        }
        return rows;
    }

    private string? Wrong(Circuit circuit, ReadOnlySpan<double> volts, IReadOnlyDictionary<string, bool> wanted)
    {
        foreach (var gate in Network.Gates)
            if (volts[circuit.NodeOf(gate.Output)] > Levels.Middle != wanted[gate.Output]) return gate.Output;
        return null;
    }
}
