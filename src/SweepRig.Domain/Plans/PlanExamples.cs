using SweepRig.Domain.Quantities;
using SweepRig.Domain.Tubes;

namespace SweepRig.Domain.Plans;

/// <summary>A named plan to start from.</summary>
/// <param name="Name">Kebab-case, for the command line and addresses.</param>
/// <param name="Explains">One sentence on what it shows.</param>
public sealed record PlanExample(string Name, string Explains, SweepPlan Plan);

/// <summary>Plans for the tide-clock of a small maritime museum: rail 28 V, bias -14 V, heaters 6.3 V.</summary>
public static class PlanExamples
{
    public static PlanExample GentlePentode { get; } = new(
        "gentle-pentode",
        "Negative drive only, so that no permit is needed: where the tube cuts off and how steeply it switches.",
        new("Gentle look, pentode at 28 V", new(-14), new(0), 141, SweepDirection.Up, 2_000, new Averaging.Count(16), null, 1, null, Wired(ConnectionKind.Pentode)));

    public static PlanExample FarPositivePentode { get; } = new(
        "far-positive-pentode",
        "Up and down to +24 V through the grid stopper: shows the floor of the output and its fold-back. Needs a permit.",
        new("Pentode at 28 V, far positive", new(-14), new(24), 191, SweepDirection.UpAndDown, 2_000, new Averaging.Count(16), null, 1, null, Wired(ConnectionKind.Pentode)));

    public static PlanExample FarPositiveTriode { get; } = new(
        "far-positive-triode",
        "The same sweep in triode connection, where the output keeps falling. Needs a permit.",
        new("Triode at 28 V, far positive", new(-14), new(24), 191, SweepDirection.UpAndDown, 2_000, new Averaging.Count(16), null, 1, null, Wired(ConnectionKind.Triode)));

    public static PlanExample RailFamily { get; } = new(
        "rail-family",
        "Five curves with the plate rail stepped from 20 V to 28 V: what a sagging supply does to the switching point.",
        new("Family over the plate rail, 20 V to 28 V", new(-14), new(0), 141, SweepDirection.Up, 2_000, new Averaging.Count(16), null, 1,
            new(SteppedSource.PlateRail, new(20), new(28), 5), Wired(ConnectionKind.Pentode)));

    public static PlanExample PlateFamily { get; } = new(
        "plate-family",
        "Seven curves in triode connection with the plate rail stepped from 7 V to 28 V: plate current over plate voltage, for load lines of any resistor.",
        new("Plate family in triode connection, 7 V to 28 V", new(-4), new(0), 81, SweepDirection.Up, 2_000, new Averaging.Count(16), null, 1,
            new(SteppedSource.PlateRail, new(7), new(28), 7), Wired(ConnectionKind.Triode)));

    public static PlanExample MainsQuiet { get; } = new(
        "mains-quiet",
        "Each sample averaged over one whole mains period after settling, so that hum from the heater cancels: slow and clean.",
        new("Quiet pentode at 28 V, one mains period a sample", new(-14), new(0), 141, SweepDirection.UpAndDown, 2_000, new Averaging.MainsPeriods(1, 50),
            new(new(0.02), 20_000), 1, null, Wired(ConnectionKind.Pentode)));

    public static IReadOnlyList<PlanExample> All { get; } = [GentlePentode, FarPositivePentode, FarPositiveTriode, RailFamily, PlateFamily, MainsQuiet];

    public static PlanExample? Find(string name) => All.FirstOrDefault(e => string.Equals(e.Name, name, StringComparison.OrdinalIgnoreCase));

    private static Connection Wired(ConnectionKind kind) =>
        new(kind, new(28), new(-14), new(6.3), new Ohms(10_000), new Ohms(100), new Ohms(4_700));
}
