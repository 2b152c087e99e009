using SweepRig.Logic.Solving;

namespace SweepRig.Logic.Yield;

/// <summary>A table of a network made ready for <see cref="LaneBench"/>. Immutable.</summary>
internal sealed class LaneTable
{
    private LaneTable(NominalTable table)
    {
        Table = table;
        var values = table.Values;
        var circuit = values.Circuit;
        Pattern = new(circuit, circuit.Tubes.SelectMany(t => (int[])[t.Grid, t.Screen, t.Plate, t.Cathode]));
        Starts = [.. table.Rows.Select(row => circuit.Tubes.Select((leads, t) => Start(leads, t, row.Start)).ToArray())];

        LaneStart Start(TubeLeads leads, int tube, double[] volts) =>
            new(values.Tubes[tube], volts[leads.Grid] - volts[leads.Cathode], volts[leads.Screen] - volts[leads.Cathode], volts[leads.Plate] - volts[leads.Cathode]);
    }

    public NominalTable Table { get; }

    /// <summary>Nodes of tubes come last: the equations of all others a trial writes once.</summary>
    public CircuitPattern Pattern { get; }

    /// <summary>Of each row the tubes at its nominal voltages.</summary>
    public LaneStart[][] Starts { get; }

    /// <returns>Null for a circuit with parts that the lanes do not know: diodes, sources between nodes.</returns>
    public static LaneTable? Of(NominalTable table) => table.Values.Circuit is { Diodes.Length: 0, Branches.Length: 0 } ? new(table) : null;
}
