using SweepRig.Domain;
using SweepRig.Logic.Gates;
using SweepRig.Logic.Margins;
using SweepRig.Logic.Networks;
using SweepRig.Logic.Solving;

namespace SweepRig.Logic.Yield;

/// <summary>A row of the table of a network: what its inputs are held at and where its nominal parts put it.</summary>
/// <param name="Volts">Of each input source.</param>
/// <param name="Wanted">High or low, of each gate in order.</param>
/// <param name="Start">Nominal voltages of all nodes.</param>
internal sealed record TableRow(double[] Volts, bool[] Wanted, double[] Start);

/// <summary>A network of gates with its nominal parts, solved in every row: what thousands of trials start from.</summary>
internal sealed class NominalTable
{
    private NominalTable(GateNetwork network, CircuitValues values, ChainLevels levels, IReadOnlyList<TableRow> rows)
    {
        (Network, Values, Levels, Rows) = (network, values, levels, rows);
        Signals = [.. network.Gates.Select(g => values.Circuit.NodeOf(g.Output))];
        Inputs = [.. network.Inputs.Select(i => Place<Source>(s => s.Name == i))];
        var storing = GateTable.Storing(network);
        Storing = [.. network.Gates.Select(g => storing.Contains(g.Output))];
        Rails = [Place<Source>(s => s.Plus == GateWiring.PlateRail), Place<Source>(s => s.Plus == GateWiring.BiasRail)];
    }

    public GateNetwork Network { get; }

    public CircuitValues Values { get; }

    public ChainLevels Levels { get; }

    public IReadOnlyList<TableRow> Rows { get; }

    /// <summary>Node of each gate's signal.</summary>
    public int[] Signals { get; }

    /// <summary>Of each gate, whether it stands in a loop: such gates hold a state, and can leave it.</summary>
    public bool[] Storing { get; }

    /// <summary>Source of each input.</summary>
    public int[] Inputs { get; }

    /// <summary>Sources of plate and bias rail.</summary>
    public int[] Rails { get; }

    /// <summary>The least distance of a signal from the threshold to its side, below 0 when one is wrong. Unit: V.</summary>
    /// <param name="wanted">Of a row.</param>
    /// <param name="volts">Of all nodes.</param>
    public double Least(bool[] wanted, ReadOnlySpan<double> volts)
    {
        var least = double.PositiveInfinity;
        for (var g = 0; g < wanted.Length; g++) least = Math.Min(least, (wanted[g] ? 1 : -1) * (volts[Signals[g]] - Levels.Middle));
        return least;
    }

    /// <returns>Refused when stages like the first restore no levels, or a row is wrong with its nominal parts.</returns>
    public static Outcome<NominalTable> Of(GateNetwork network, Func<string, TubePart> tube)
    {
        var restored = StageTransfer.Levels(network, tube);
        if (restored.Value is not { } levels) return Outcome<NominalTable>.Refuse(restored.Refusals);
        var values = new CircuitValues(Circuit.Of(GateWiring.Wire(network, tube, [.. network.Inputs.Select(_ => Waveform.Steady(0))])));
        var table = new NominalTable(network, values, levels, []);
        var (solver, settling, rows) = (new DcSolver(values), new Settling(values), new List<TableRow>());
        foreach (var inputs in GateTable.InputPatterns(network))
        {
            double[] volts = [.. inputs.Select(i => i ? levels.High : levels.Low)];
            for (var i = 0; i < volts.Length; i++) values.Sources[table.Inputs[i]] = Waveform.Steady(volts[i]);
            foreach (var state in GateTable.States(network, inputs))
            {
                bool[] wanted = [.. network.Gates.Select(g => state[g.Output])];
                var solved = settling.Run(WantedStart.Of(network, values, state, levels), 0) && solver.TrySolve(settling.Volts);
                for (var g = 0; g < wanted.Length; g++)
                {
                    if (solved && solver.Volts[table.Signals[g]] > levels.Middle == wanted[g]) continue;
                    return Outcome<NominalTable>.Refuse(new Refusal("wrong-when-nominal", "", $"with its nominal parts {network.Name} is wrong at inputs {string.Concat(inputs.Select(i => i ? '1' : '0'))}, signal {network.Gates[g].Output}",
                        "a yield is counted about a network that works", "Check the network first, and choose other values or tubes."));
                }
                rows.Add(new(volts, wanted, [.. solver.Volts]));
            }
        }
        return Outcome<NominalTable>.Accept(new(network, values, levels, rows));
    }

    private int Place<T>(Func<T, bool> which)
        where T : Part => Values.Circuit.Network.Parts.OfType<T>().Select((p, at) => (p, at)).First(p => which(p.p)).at;
}
