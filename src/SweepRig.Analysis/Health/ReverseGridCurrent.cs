using SweepRig.Domain;
using SweepRig.Domain.Runs;
using SweepRig.Domain.Screening;
using SweepRig.Tubes.Model;

namespace SweepRig.Analysis.Health;

/// <summary>Grid current of the wrong sign, split into what follows a voltage (leakage) and what follows the current (ions).</summary>
internal static class ReverseGridCurrent
{
    /// <summary>Oxide cathode at its rating, K; the slope of the forward part hardly depends on it.</summary>
    private const double CathodeKelvin = 1050;

    private const double AtDrive = -1.3;

    private const string Split =
        "Grid current warm and cold with the rail on, less that cold with the rail off at the same drives, by least squares: G (change of Vg - Vg2) for leakage, -r Ik for ions, c exp(Vg/(kT/e)) for the forward current below its onset.";

    private const string Physics =
        "leakage follows the voltage whatever the plate current, ion current follows the plate current and vanishes at cut-off (62 IRE 7.S1, from memory); forward part: retarding-field law";

    private const string Weak =
        "the voltages of the books: at this rail few electrons can ionise residual gas (12 to 16 eV), so a gassy tube may look better here than there; primary emission of the grid, which needs a raised heater";

    internal static readonly HealthTopic Total = new(
        "reverse-grid-current", "reverse grid current at this rail", "A", 0.3e-6, 1e-6,
        "Current out of grid 1 at a drive of -1.3 V, warm, less what the channels show cold with the rail off.",
        "total grid current (MIL-STD-1311; method number from memory: 1266); end of life of an RF pentode: 1 uA (EF860 data sheet, RFT)",
        "leakage, ions and grid emission together at this rail", Weak);

    internal static readonly HealthTopic Ohmic = new(
        "reverse-grid-ohmic", "ohmic part of the reverse grid current", "S", 0.03e-6, 0.1e-6, Split, Physics, "a leak from screen or plate to grid 1, warm", Weak);

    internal static readonly HealthTopic Ions = new(
        "reverse-grid-proportional", "part of the reverse grid current that follows the cathode current", "1", 0.4e-3, 1e-3, Split, Physics, "ions of residual gas at this rail", Weak);

    public static IEnumerable<HealthItem> Items(Screened s)
    {
        if (s.Of(ScreeningStepKind.GridCurrent) is not { } warm || s.Of(ScreeningStepKind.ColdRailOff) is not { } off)
        {
            var why = s.Missing(s.Of(ScreeningStepKind.GridCurrent) is null ? ScreeningStepKind.GridCurrent : ScreeningStepKind.ColdRailOff);
            return [Total.NotSeen(why), Ohmic.NotSeen(why), Ions.NotSeen(why)];
        }
        List<Point> points = [.. Less(s, warm, off, true)];
        var total = points.MinBy(p => Math.Abs(p.Drive - AtDrive));
        if (s.Of(ScreeningStepKind.ColdRailOn) is { } cold) points.AddRange(Less(s, cold, off, false));
        var thermal = TubeModel.BoltzmannOverCharge * CathodeKelvin;
        var fit = LinearFit.Of(
            [.. points.Select(p => new[] { p.Leaking, -p.Cathode, p.IsWarm ? Math.Exp(p.Grid / thermal) : 0 })], [.. points.Select(p => p.Current)], [.. points.Select(p => p.Uncertainty)]);
        List<HealthItem> items = [total is null ? Total.NotSeen($"no drive near {AtDrive} V was measured") : Total.Judge(-total.Current, total.Uncertainty)];
        if (fit is null) return [.. items, Ohmic.NotSeen("the drives measured do not tell the parts apart"), Ions.NotSeen("the drives measured do not tell the parts apart")];
        items.Add(Ohmic.Judge(fit.Values[0], fit.Uncertainties[0]));
        items.Add(points.Max(p => p.Cathode) < 50e-6 ? Ions.NotSeen("hardly any cathode current flows at these drives") : Ions.Judge(fit.Values[1], fit.Uncertainties[1]));
        return items;
    }

    /// <summary>Means at each drive that both curves have.</summary>
    private static IEnumerable<Point> Less(Screened s, Curve curve, Curve off, bool isWarm)
    {
        var holds = Screened.Holds(off);
        foreach (var hold in Screened.Holds(curve))
        {
            var zero = holds.FirstOrDefault(h => Math.Abs(h.Drive - hold.Drive) < 1e-6);
            if (zero.End == 0) continue;
            var a = Screened.MeanOf(curve.GridCurrent, hold.First, hold.End);
            var b = Screened.MeanOf(off.GridCurrent, zero.First, zero.End);
            if (a.Samples < 2 || b.Samples < 2) continue;
            var screen = s.IsTriode ? curve.Plate : curve.Screen;
            var grid = Screened.MeanOf(curve.Grid, hold.First, hold.End).Value;
            // With the rail off a leak to the screen carries current too, which the difference takes away.
            var leaking = grid - Screened.MeanOf(screen, hold.First, hold.End).Value
                - (Screened.MeanOf(off.Grid, zero.First, zero.End).Value - Screened.MeanOf(s.IsTriode ? off.Plate : off.Screen, zero.First, zero.End).Value);
            yield return new(
                hold.Drive, grid, leaking,
                isWarm ? s.CathodeCurrent(curve, hold.First, hold.End).Value : 0, a.Value - b.Value, Math.Sqrt(a.Uncertainty * a.Uncertainty + b.Uncertainty * b.Uncertainty + Floor(s)), isWarm);
        }
    }

    // A stored code, rectangular, JCGM 100:2008, F.2.2.1; where all samples agree the scatter says nothing.
    private static double Floor(Screened s)
    {
        var scale = s.Header.Rig.Channels[(int)RigChannel.Grid];
        return Math.Pow(scale.StepVolts / (1 << scale.FractionBits) / s.Connection.GridStopper.Value, 2) / 6;
    }

    private sealed record Point(double Drive, double Grid, double Leaking, double Cathode, double Current, double Uncertainty, bool IsWarm);
}
