using SweepRig.Logic.Margins;
using SweepRig.Logic.Networks;
using SweepRig.Logic.Solving;

namespace SweepRig.Logic.Gates;

/// <summary>The transfer curve of a stage through its own coupling, with what it feeds connected.</summary>
public static class StageTransfer
{
    private const double SlopeStep = 1e-4;

    /// <summary>Points of a curve that serve for margins within a millivolt or two; the levels themselves are better.</summary>
    public const int UsualPoints = 141;

    /// <param name="tube">In the stage.</param>
    /// <param name="load">In each of the stages that it feeds.</param>
    /// <param name="fanOut">How many it feeds; 0 for none.</param>
    /// <param name="points">At least 5, spread evenly from the lower of 0 V and the bias to the rail.</param>
    /// <returns>Null when a point could not be solved, which no network of tubes and resistors is known to do.</returns>
    public static Transfer? Of(GateRails rails, StageValues values, TubePart tube, TubePart load, int fanOut, int points = UsualPoints)
    {
        ArgumentNullException.ThrowIfNull(rails);
        ArgumentNullException.ThrowIfNull(values);
        ArgumentOutOfRangeException.ThrowIfLessThan(points, 5);
        var network = new GateNetwork("stage", rails, ["x"], ["y"],
            [new("y", GateKind.Nor, ["x"], values), .. Enumerable.Range(1, fanOut).Select(n => new Gate($"z{n}", GateKind.Nor, ["y"], values))]);
        var circuit = Circuit.Of(GateWiring.Wire(network, position => position.StartsWith("V_y", StringComparison.Ordinal) ? tube : load, [Waveform.Steady(0)]));
        return Sweep(circuit, "x", "y", 0, rails.Plate, points);
    }

    /// <summary>Output of any network as a function of one of its sources, the others held.</summary>
    internal static Transfer? Sweep(Circuit circuit, string source, string output, double low, double high, int points)
    {
        var values = new CircuitValues(circuit);
        var at = circuit.Network.Parts.OfType<Source>().Select((s, n) => (s.Name, n)).First(s => s.Name == source).n;
        var node = circuit.NodeOf(output);
        var solver = new DcSolver(values);
        double[] inputs = new double[points], outputs = new double[points], slopes = new double[points];
        double[]? last = null;
        for (var n = 0; n < points; n++)
        {
            inputs[n] = low + (high - low) * n / (points - 1);
            if (At(inputs[n] + SlopeStep) is not { } above || At(inputs[n] - SlopeStep) is not { } below || At(inputs[n]) is not { } here) return null;
            (outputs[n], slopes[n]) = (here, (above - below) / (2 * SlopeStep));
        }
        return Transfer.Through(inputs, outputs, slopes);

        double? At(double input)
        {
            values.Sources[at] = Waveform.Steady(input);
            var solved = last is not null && solver.TrySolve(last) || solver.TrySolve();
            if (!solved) return null;
            last ??= new double[circuit.Nodes.Count];
            solver.Volts.CopyTo(last);
            return solver.Volts[node];
        }
    }
}
