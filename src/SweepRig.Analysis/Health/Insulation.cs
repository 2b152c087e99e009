using SweepRig.Domain;
using SweepRig.Domain.Screening;

namespace SweepRig.Analysis.Health;

/// <summary>Shorts and leakage between the electrodes, from the cold steps.</summary>
internal static class Insulation
{
    private const string Cold = "heater off, so that all current is insulation";

    private const string Books = "MIL-STD-1311 (insulation of electrodes; method number from memory: 1211) at 100 or 300 V; limits here: common practice, no source";

    internal static readonly HealthTopic GridCathode = new(
        "insulation-grid-cathode", "leakage grid 1 to cathode", "S", 10e-6, 20e-6,
        $"Slope of grid current over grid voltage, plate rail off, {Cold}.", Books,
        "a short or a leak of some tens of kilohms; less when the rig is calibrated",
        "a small leak: drive and grid channel must agree to a few millivolts for a megohm");

    internal static readonly HealthTopic GridOthers = new(
        "insulation-grid-others", "leakage grid 1 to screen and plate", "S", 0.03e-6, 0.1e-6,
        $"Change of grid current when the plate rail is switched on, over the voltage, {Cold}. Errors of the channels fall out of the difference.", Books,
        "leaks above some hundred megohms at this rail",
        "paths that open only at the voltages of the books; screen and plate are at one voltage and not told apart");

    internal static readonly HealthTopic PlateCathode = new(
        "insulation-plate-cathode", "leakage plate to cathode", "S", 10e-6, 20e-6,
        $"Plate current at the plate rail, {Cold}.", Books, "a short or a leak of some tens of kilohms", "a small leak: supply and plate channel must agree to a few millivolts");

    internal static readonly HealthTopic ScreenPlate = new(
        "short-screen-plate", "share of the plate in the cathode current", "1", 0.5, 0.35,
        "Plate current over plate and screen current where the tube is warm and the plate stands above half of the rail.",
        "screen and plate share the current in a nearly constant ratio above the knee (Darr and Manber 1948, abstract); 6AU6 data sheet, nominal: 0.70",
        "a path from screen to plate below a kilohm, which holds the plate up", "a leak of more than some kilohms");

    public static IEnumerable<HealthItem> Items(Screened s)
    {
        yield return ToCathode(s);
        yield return ToOthers(s);
        yield return OfPlate(s);
        yield return Shared(s);
    }

    private static HealthItem ToCathode(Screened s)
    {
        if (s.Of(ScreeningStepKind.ColdRailOff) is not { } cold) return GridCathode.NotSeen(s.Missing(ScreeningStepKind.ColdRailOff));
        var holds = Screened.Holds(cold);
        var current = holds.Select(h => Screened.MeanOf(cold.GridCurrent, h.First, h.End)).ToArray();
        var stopper = s.Connection.GridStopper.Value;
        // Of the drive rather than of the grid voltage, which a hard short holds at 0.
        var fit = LinearFit.Of([.. holds.Select(h => new[] { 1, h.Drive })], [.. current.Select(c => c.Value)]);
        if (fit is null) return GridCathode.NotSeen("fewer than three drives were measured");
        var share = fit.Values[1] * stopper;
        var gain = Math.Sqrt(Math.Pow(s.Calibration.Drive.GainUncertainty, 2) + Math.Pow(s.Calibration.Channels[(int)RigChannel.Grid].GainUncertainty, 2));
        var u = Math.Sqrt(gain * gain + Math.Pow(fit.Uncertainties[1] * stopper, 2));
        // The interval is lopsided: near a hard short the far side reaches to infinity. The side that decides is given.
        var value = Leak(share);
        var side = value > GridCathode.Bad ? value - Leak(share - 2 * u) : Leak(share + 2 * u) - value;
        return GridCathode.Judge(value, side / 2, s.Mark);

        // Divider of stopper and leak: share = G R/(1 + G R).
        double Leak(double part) => Math.Min(part, 0.9999) is var held ? held / (1 - held) / stopper : 0;
    }

    private static HealthItem ToOthers(Screened s)
    {
        if (s.Of(ScreeningStepKind.ColdRailOff) is not { } off) return GridOthers.NotSeen(s.Missing(ScreeningStepKind.ColdRailOff));
        var (on, isLow) = s.Of(ScreeningStepKind.ColdRailOn) is { } full ? (full, false) : (s.Of(ScreeningStepKind.ColdLowRail), true);
        if (on is null) return GridOthers.NotSeen(s.Missing(ScreeningStepKind.ColdRailOn));
        List<double> ratios = [];
        List<double> weights = [];
        foreach (var hold in Screened.Holds(on))
        {
            // The lowest drive is in both steps; at the low rail the others differ.
            var match = Screened.Holds(off).FirstOrDefault(h => Math.Abs(h.Drive - hold.Drive) < 0.02);
            if (match.End == 0) continue;
            var a = Screened.MeanOf(on.GridCurrent, hold.First, hold.End);
            var b = Screened.MeanOf(off.GridCurrent, match.First, match.End);
            var volts = Screened.MeanOf(on.Supply, hold.First, hold.End).Value - Screened.MeanOf(off.Supply, match.First, match.End).Value;
            if (volts < 1 || double.IsNaN(a.Value + b.Value)) continue;
            // Into the grid counts positive, so a leak from the rail makes it negative.
            var net = volts - s.Connection.GridStopper.Value * (b.Value - a.Value);
            ratios.Add((b.Value - a.Value) / Math.Max(net, 0.01 * volts));
            weights.Add(Math.Sqrt(a.Uncertainty * a.Uncertainty + b.Uncertainty * b.Uncertainty + 1e-18) / volts);
        }
        if (ratios.Count == 0) return GridOthers.NotSeen("the plate rail was never on");
        var total = weights.Sum(w => 1 / (w * w));
        var value = ratios.Zip(weights, (r, w) => r / (w * w)).Sum() / total;
        return GridOthers.Judge(value, Math.Sqrt(1 / total), isLow ? "measured at the low rail alone" : null);
    }

    private static HealthItem OfPlate(Screened s)
    {
        if (s.Of(ScreeningStepKind.ColdRailOn) is not { } cold) return PlateCathode.NotSeen(s.Missing(ScreeningStepKind.ColdRailOn));
        var plate = Screened.MeanOf(cold.Plate, 0, cold.Count);
        var current = Screened.MeanOf(cold.PlateCurrent, 0, cold.Count);
        var supply = Screened.MeanOf(cold.Supply, 0, cold.Count);
        if (!(plate.Value > 0.1)) return PlateCathode.Item(Figure.None("S", "the plate stays at 0 V"), HealthVerdict.Bad, "the plate is shorted to the cathode");
        var u = s.Calibration.DifferenceUncertainty(RigChannel.Supply, supply.Value, RigChannel.Plate, plate.Value) / s.Connection.PlateResistor.Value / plate.Value;
        return PlateCathode.Judge(current.Value / plate.Value, u, s.Mark);
    }

    private static HealthItem Shared(Screened s)
    {
        if (s.IsTriode) return ScreenPlate.NotSeen("screen and plate are tied in this connection");
        if (s.Of(ScreeningStepKind.Transfer) is not { } transfer) return ScreenPlate.NotSeen(s.Missing(ScreeningStepKind.Transfer));
        List<double> shares = [];
        for (var i = 0; i < transfer.Count; i++)
        {
            var all = s.CathodeCurrent(transfer, i);
            if (!(all > LeastAmps) || !(transfer.Plate[i] > 0.5 * transfer.Supply[i])) continue;
            shares.Add((all - (transfer.ScreenCurrent[i] - ScreenZero(s))) / all);
        }
        if (shares.Count < 5) return ScreenPlate.NotSeen("too little current flows where the plate stands high");
        var mean = Mean.Of(shares);
        return ScreenPlate.JudgeLow(mean.Value, Math.Sqrt(mean.Uncertainty * mean.Uncertainty + Math.Pow(s.CurrentGain, 2)), s.Mark);
    }

    private const double LeastAmps = 0.3e-3;

    private static double ScreenZero(Screened s) => s.Of(ScreeningStepKind.ColdRailOn) is { } cold ? Screened.MeanOf(cold.ScreenCurrent, 0, cold.Count).Value : 0;
}
