using SweepRig.Domain;
using SweepRig.Logic.Gates;
using SweepRig.Logic.Margins;
using SweepRig.Logic.Networks;
using SweepRig.Logic.Solving;
using SweepRig.Tubes.Model;

namespace SweepRig.Logic.Choice;

/// <summary>A pattern of the inputs with a state that agrees with it.</summary>
/// <param name="Inputs">High or low, of each input.</param>
/// <param name="Wanted">High or low, of the signal of each gate.</param>
/// <param name="Noise">Of each noise source: true where its input is high, so that it is adverse downwards.</param>
/// <param name="Start">Voltages near which the network is that does what is wanted.</param>
internal sealed record ChoiceRow(bool[] Inputs, bool[] Wanted, bool[] Noise, double[] Start);

/// <summary>An order in numbers: tubes and positions by their places, the circuit, its rows. Immutable.</summary>
internal sealed class ChoiceProblem
{
    /// <summary>Rows times positions times tubes: some minutes.</summary>
    private const long MostCases = 5_000_000;

    private const int CurvePoints = 71;

    private ChoiceProblem(ChoiceOrder order, ChoiceTube[] tubes, int reference, ChainLevels levels)
    {
        (Order, Tubes, Reference, Levels) = (order, tubes, reference, levels);
        var network = order.Network;
        Positions = [.. network.Positions];
        Models = [.. tubes.Select(t => t.Part!.Model)];
        // One tube at every place at once is only an arithmetic start: as a numbered one it could be at one place alone.
        Circuit = Circuit.Of(GateWiring.Wire(network, _ => tubes[reference].Part! with { Number = null }, [.. network.Inputs.Select(_ => Waveform.Steady(0))], (_, _) => 0));
        var sources = Circuit.Network.Parts.OfType<Source>().Select((s, at) => (s.Name, at)).ToDictionary(s => s.Name, s => s.at, StringComparer.Ordinal);
        Inputs = [.. network.Inputs.Select(i => sources[i])];
        Noise = [.. network.Gates.SelectMany(g => g.Inputs.Select((_, at) => sources[$"N_{g.Output}_{at + 1}"]))];
        Signals = [.. network.Gates.Select(g => Circuit.NodeOf(g.Output))];
        var placeOf = tubes.Select((t, at) => (t.Number, at)).ToDictionary(t => t.Number, t => t.at, StringComparer.OrdinalIgnoreCase);
        int[] free = [.. Enumerable.Range(0, tubes.Length).Except(order.Pinned.Values.Select(n => placeOf[n]))];
        Allowed = [.. Positions.Select(p => order.Pinned.TryGetValue(p, out var number) ? [placeOf[number]] : free)];
        Rows = [.. Patterns(network)];
    }

    public ChoiceOrder Order { get; }

    /// <summary>That have a model and are not forbidden.</summary>
    public ChoiceTube[] Tubes { get; }

    public TubeModel[] Models { get; }

    /// <summary>The tube with the greatest margin of its own.</summary>
    public int Reference { get; }

    public ChainLevels Levels { get; }

    public string[] Positions { get; }

    /// <summary>Tubes that may stand at each position.</summary>
    public int[][] Allowed { get; }

    public Circuit Circuit { get; }

    /// <summary>Sources of the inputs, and of the noise in the order of gates and their inputs.</summary>
    public int[] Inputs { get; }

    public int[] Noise { get; }

    /// <summary>Node of each gate's signal.</summary>
    public int[] Signals { get; }

    public ChoiceRow[] Rows { get; }

    public static Outcome<ChoiceProblem> Of(ChoiceOrder order, CancellationToken cancel)
    {
        var faults = ChoiceChecks.Find(order);
        if (faults.Count > 0) return Outcome<ChoiceProblem>.Refuse(faults);
        ChoiceTube[] tubes = [.. order.Stock.Where(t => t.Part is not null && !order.Forbidden.Contains(t.Number, StringComparer.OrdinalIgnoreCase)).OrderBy(t => t.Number, StringComparer.OrdinalIgnoreCase)];
        var network = order.Network;
        var rows = GateTable.InputPatterns(network).Sum(i => (long)GateTable.States(network, i).Count);
        if (rows * network.Positions.Count * tubes.Length is var cases && cases > MostCases)
        {
            return Outcome<ChoiceProblem>.Refuse(new Refusal("too-many-cases", "", $"{rows} rows by {network.Positions.Count} positions by {tubes.Length} tubes are {cases} cases",
                $"at most {MostCases} are looked at", "Choose for parts of the network one after the other, pinning what is chosen, or from fewer tubes."));
        }
        var margins = new double[tubes.Length];
        Parallel.For(0, tubes.Length, new ParallelOptions { CancellationToken = cancel }, t => margins[t] = OwnMargin(network, tubes[t].Part!));
        var reference = Array.IndexOf(margins, margins.Max());
        var restored = order.Levels is { } given ? Outcome<ChainLevels>.Accept(given) : StageTransfer.Levels(network, _ => tubes[reference].Part!);
        return restored.Map(levels => new ChoiceProblem(order, tubes, reference, levels));
    }

    private static double OwnMargin(GateNetwork network, TubePart tube)
    {
        if (StageTransfer.Of(network.Rails, network.Gates[0].Values, tube, tube, 1, CurvePoints, StageShape.Of(network.Gates[0])) is not { } curve) return 0;
        var levels = ChainLevels.Of(curve, curve);
        return levels.Restores ? SquareMargins.Of(curve, curve, levels).Smaller : 0;
    }

    private IEnumerable<ChoiceRow> Patterns(GateNetwork network)
    {
        var values = new CircuitValues(Circuit);
        var (settling, solver) = (new Settling(values), new DcSolver(values));
        foreach (var inputs in GateTable.InputPatterns(network))
        {
            for (var i = 0; i < inputs.Length; i++) values.Sources[Inputs[i]] = Waveform.Steady(inputs[i] ? Levels.High : Levels.Low);
            foreach (var wanted in GateTable.States(network, inputs))
            {
                var start = WantedStart.Of(network, values, wanted, Levels);
                if (settling.Run(start, 0) && solver.TrySolve(settling.Volts)) start = [.. solver.Volts];
                yield return new(inputs, [.. network.Gates.Select(g => wanted[g.Output])], [.. network.Gates.SelectMany(g => g.Inputs.Select(i => wanted[i]))], start);
            }
        }
    }
}
