using SweepRig.Tubes.Model;

namespace SweepRig.Logic.Solving;

/// <summary>A balance of a circuit: always converged, for nothing else is made into one.</summary>
/// <param name="Circuit">Whose.</param>
/// <param name="Volts">One a node, in the order of <see cref="Circuit.Nodes"/>. Unit: V.</param>
/// <param name="Tubes">Currents into the electrodes of each tube, in the order of the network. Unit: A.</param>
/// <param name="SourceAmps">Current that each source delivers out of its plus terminal. Unit: A.</param>
/// <param name="Sign">Of the determinant of the equations, sources allowed for: 1 or -1, and -1 is never stable.</param>
public sealed record OperatingPoint(Circuit Circuit, IReadOnlyList<double> Volts, IReadOnlyList<TubeCurrents> Tubes, IReadOnlyList<double> SourceAmps, int Sign)
{
    /// <summary>Voltage of a node.</summary>
    /// <exception cref="ArgumentException">The network has no such node.</exception>
    public double At(string node) => Volts[Circuit.NodeOf(node)];

    /// <summary>What all sources together deliver. Unit: W.</summary>
    public double SourceWatts(CircuitValues values, double seconds = 0)
    {
        ArgumentNullException.ThrowIfNull(values);
        return values.Sources.Select((s, at) => s.At(seconds) * SourceAmps[at]).Sum();
    }

    internal static OperatingPoint Of(Newton newton)
    {
        var equations = newton.Equations;
        var (values, circuit) = (equations.Values, equations.Values.Circuit);
        double[] volts = [.. equations.Volts];
        var tubes = new TubeCurrents[circuit.Tubes.Length];
        // What leaves each node through everything but sources.
        var leaving = new double[volts.Length];
        for (var t = 0; t < tubes.Length; t++)
        {
            var (grid, screen, plate, cathode) = circuit.Tubes[t];
            tubes[t] = values.Curves[t] is { } curve && curve.At(volts[grid] - volts[cathode]) is var measured
                ? new(measured.Grid, 0, measured.Plate)
                : values.Tubes[t].Evaluate(volts[grid] - volts[cathode], volts[screen] - volts[cathode], volts[plate] - volts[cathode]);
            leaving[grid] += tubes[t].Grid;
            leaving[screen] += tubes[t].Screen;
            leaving[plate] += tubes[t].Plate;
            leaving[cathode] -= tubes[t].Grid + tubes[t].Screen + tubes[t].Plate;
        }
        for (var r = 0; r < circuit.Resistors.Length; r++) Pass(circuit.Resistors[r], values.Siemens[r] * (volts[circuit.Resistors[r].A] - volts[circuit.Resistors[r].B]));
        for (var d = 0; d < circuit.Diodes.Length; d++) Pass(circuit.Diodes[d], values.Diodes[d].Current(volts[circuit.Diodes[d].A] - volts[circuit.Diodes[d].B], out _));
        var sources = new double[values.Sources.Length];
        for (var b = 0; b < circuit.Branches.Length; b++)
        {
            sources[circuit.Branches[b].Source] = -equations.BranchAmps[b];
            Pass((circuit.Branches[b].Plus, circuit.Branches[b].Minus), equations.BranchAmps[b]);
        }
        // The last held node leans on all before it, and nothing on it: its source carries what leaves it.
        foreach (var held in circuit.Held.Reverse())
        {
            sources[held.Source] = held.Sign * leaving[held.Node];
            leaving[held.From] += leaving[held.Node];
        }
        return new(circuit, volts, tubes, sources, newton.Sign);

        void Pass((int A, int B) ends, double amps)
        {
            leaving[ends.A] += amps;
            leaving[ends.B] -= amps;
        }
    }
}
