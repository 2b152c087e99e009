using SweepRig.Domain.Quantities;
using SweepRig.Tubes.Model;

namespace SweepRig.Logic.Yield;

/// <summary>What the tubes of a row do about its nominal voltages.</summary>
/// <param name="Tubes">Currents and their derivatives at the nominal voltages.</param>
/// <param name="Active">Tubes that must be evaluated; all others are cut off so deeply that these currents and derivatives say all within reach.</param>
internal sealed record LaneRow(LaneTube[] Tubes, int[] Active);

/// <summary>A tube at its nominal voltages against its cathode. Units: V, A, S.</summary>
internal readonly record struct LaneTube(double Grid, double Screen, double Plate, TubeCurrents Amps, TubeConductances Siemens);

/// <summary>A table of a network made ready for <see cref="LaneBench"/>. Immutable.</summary>
internal sealed class LaneTable
{
    /// <summary>How far grid and plate or screen may rise above their nominal voltages before a tube that is cut off must be looked at. Unit: V.</summary>
    public const double GridReach = 2, PlateReach = 3;

    // Through the highest resistance of a usual network, some hundred kilohms, a hundredth of a microvolt.
    private const double QuietAmps = 1e-13;
    private const double FarthestDeviations = 6;

    private LaneTable(NominalTable table, bool tubesVary, LaneRow[] rows) => (Table, TubesVary, Rows) = (table, tubesVary, rows);

    public NominalTable Table { get; }

    public bool TubesVary { get; }

    public LaneRow[] Rows { get; }

    /// <returns>Null for a circuit with parts that the lanes do not know: diodes, sources between nodes.</returns>
    public static LaneTable? Of(NominalTable table, Tolerances tolerances)
    {
        var circuit = table.Values.Circuit;
        if (circuit.Diodes.Length > 0 || circuit.Branches.Length > 0) return null;
        TubeModel[] farthest = [.. circuit.Network.Tubes.Select(t => new TubeModel(tolerances.Moved(t.Model.Parameters, FarthestDeviations, FarthestDeviations, FarthestDeviations), new Volts(t.HeaterVolts)))];
        return new(table, tolerances is not { CurrentDrift: 0, OffsetDriftVolts: 0, EmissionDrift: 0 }, [.. table.Rows.Select(r => Row(table, r.Start, farthest))]);
    }

    private static LaneRow Row(NominalTable table, double[] volts, TubeModel[] farthest)
    {
        LaneTube[] tubes =
        [
            .. table.Values.Circuit.Tubes.Select((leads, t) =>
            {
                var cathode = volts[leads.Cathode];
                double grid = volts[leads.Grid] - cathode, screen = volts[leads.Screen] - cathode, plate = volts[leads.Plate] - cathode;
                return new LaneTube(grid, screen, plate, table.Values.Tubes[t].Evaluate(grid, screen, plate, out var slopes), slopes);
            }),
        ];
        return new(tubes, [.. Enumerable.Range(0, tubes.Length).Where(t => !IsQuiet(tubes[t], farthest[t]))]);
    }

    private static bool IsQuiet(in LaneTube tube, TubeModel farthest)
    {
        var at = farthest.Evaluate(tube.Grid + GridReach, tube.Screen + PlateReach, tube.Plate + PlateReach);
        var g = tube.Siemens;
        return Straight(at.Grid, tube.Amps.Grid, g.GridByGrid, g.GridByScreen, g.GridByPlate)
            && Straight(at.Screen, tube.Amps.Screen, g.ScreenByGrid, g.ScreenByScreen, g.ScreenByPlate)
            && Straight(at.Plate, tube.Amps.Plate, g.PlateByGrid, g.PlateByScreen, g.PlateByPlate);

        static bool Straight(double there, double here, double byGrid, double byScreen, double byPlate) =>
            Math.Abs(there - here - byGrid * GridReach - (byScreen + byPlate) * PlateReach) < QuietAmps;
    }
}
