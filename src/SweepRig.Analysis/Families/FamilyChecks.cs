using SweepRig.Domain;
using SweepRig.Domain.Plans;
using SweepRig.Domain.Quantities;
using SweepRig.Domain.Tubes;

namespace SweepRig.Analysis.Families;

/// <summary>Whether runs make one surface, and in words why not.</summary>
internal static class FamilyChecks
{
    /// <summary>Rails that count as the same: rigs set them this well. Unit: V.</summary>
    public const double SameRailVolts = 0.25;

    public static IReadOnlyList<Refusal> Of(IReadOnlyList<FamilyRun> runs)
    {
        if (runs.Count == 0) return [new("no-runs", "", "no run", "a family needs at least one", "Name the runs of one tube.")];
        List<Refusal> faults = [];
        var first = runs[0].Connection;
        if (runs.Any(r => r.Stepped == SteppedSource.Heater))
        {
            faults.Add(new("heater-stepped", "", "a run whose heater was stepped", "a surface of plate current is of one cathode temperature",
                "Leave that run out; compare its passes for the reserve of emission instead."));
        }
        if (runs.Select(r => r.Connection.Kind).Distinct().Count() > 1)
            faults.Add(Mixed("connection", "pentode and triode runs", "Give the runs of one connection."));
        if (runs.Select(r => r.Connection.GridStopper).Distinct().Count() > 1)
            faults.Add(Mixed("grid stopper", string.Join(" and ", runs.Select(r => r.Connection.GridStopper).Distinct()), "Give runs with the same grid stopper: the surface is over the drive before it."));
        if (runs.Any(r => Math.Abs(r.Connection.Heater.Value - first.Heater.Value) > 0.01 * first.Heater.Value))
            faults.Add(Mixed("heater voltage", string.Join(" and ", runs.Select(r => r.Connection.Heater).Distinct()), "Give runs with the same heater voltage."));
        if (first.Kind == ConnectionKind.Pentode) faults.AddRange(Screen(runs));
        return faults;
    }

    private static IEnumerable<Refusal> Screen(IReadOnlyList<FamilyRun> runs)
    {
        if (runs.Any(r => r.Stepped == SteppedSource.PlateRail) || runs.Any(r => Math.Abs(r.Connection.PlateRail.Value - runs[0].Connection.PlateRail.Value) > SameRailVolts))
        {
            yield return new(
                "screen-moves", "", "pentode passes at several plate rails", "one screen voltage: the screen hangs on the plate rail and moved with it",
                "Record runs with three or more plate resistors at one rail, or the family in triode connection, or fit the model, which knows of the screen.");
        }
        if (runs.Select(r => r.Connection.ScreenResistor).Distinct().Count() > 1)
            yield return Mixed("screen resistor", string.Join(" and ", runs.Select(r => r.Connection.ScreenResistor).Distinct()), "Give runs with the same screen resistor.");
    }

    public static Refusal TooFew(int groups) => new(
        "too-few-curves", "", $"{groups} different {(groups == 1 ? "curve" : "curves")}", $"at least {PlateSurface.LeastCurves}: fewer do not tell how wrong the surface is between them",
        "Step the plate rail in triode connection, or record runs with more plate resistors.");

    public static Refusal BadLine(string fault) => new(
        "bad-load-line", "", fault, "rail above 0 V to 60 V, resistor above 0 ohm to 1 Gohm, uncertainties of 0 or above", "Correct the load line.");

    public static Refusal OtherScreen(Volts asked, double measured) => new(
        "screen-would-move", "", $"a load line at {asked}", $"in pentode connection only the rail that was measured, {Engineering.Format(measured, "V")}: the screen hangs on it",
        "Ask for that rail, or record the runs at the other one, or predict with a fitted model.");

    private static Refusal Mixed(string what, string asked, string remedy) => new("runs-differ", "", $"{what}: {asked}", "runs of one surface agree in it", remedy);
}
