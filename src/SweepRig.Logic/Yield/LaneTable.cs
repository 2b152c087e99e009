using System.Numerics;
using SweepRig.Logic.Solving;
using SweepRig.Tubes.Model;

namespace SweepRig.Logic.Yield;

/// <summary>A table of a network made ready for <see cref="LaneBench"/>. Immutable.</summary>
internal sealed class LaneTable
{
    private LaneTable(NominalTable table)
    {
        Table = table;
        var circuit = table.Values.Circuit;
        Pattern = new(circuit, circuit.Tubes.SelectMany(t => (int[])[t.Grid, t.Screen, t.Plate, t.Cathode]));
        Nominal = [.. table.Rows.Select(r => Tangents(table.Values, r.Start))];
    }

    public NominalTable Table { get; }

    /// <summary>Nodes of tubes come last: the equations of all others a trial writes once.</summary>
    public CircuitPattern Pattern { get; }

    /// <summary>Of each row the tubes at its nominal voltages, alike in all lanes.</summary>
    public LaneTangent[][] Nominal { get; }

    /// <returns>Null for a circuit with parts that the lanes do not know: diodes, sources between nodes.</returns>
    public static LaneTable? Of(NominalTable table) => table.Values.Circuit is { Diodes.Length: 0, Branches.Length: 0 } ? new(table) : null;

    private static LaneTangent[] Tangents(CircuitValues values, double[] volts)
    {
        var bank = new TubeBank(LaneBench.Width);
        return
        [
            .. values.Circuit.Tubes.Select((leads, t) =>
            {
                for (var lane = 0; lane < LaneBench.Width; lane++) bank.Put(lane, values.Tubes[t]);
                var cathode = volts[leads.Cathode];
                Vector<double> grid = new(volts[leads.Grid] - cathode), screen = new(volts[leads.Screen] - cathode), plate = new(volts[leads.Plate] - cathode);
                bank.Set(0, grid, screen, plate);
                bank.Evaluate();
                return new LaneTangent(bank.Results, 0, grid, screen, plate);
            }),
        ];
    }
}
