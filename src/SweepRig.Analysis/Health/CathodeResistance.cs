using SweepRig.Domain.Runs;
using SweepRig.Domain.Screening;

namespace SweepRig.Analysis.Health;

/// <summary>A resistance in series with the cathode, from the shape of the transfer curve.</summary>
internal static class CathodeResistance
{
    private const double LeastAmps = 0.1e-3;
    private const double PlateAbove = 0.5;

    internal static readonly HealthTopic Topic = new(
        "cathode-resistance", "resistance in the cathode", "Ω", 250, 450,
        "Least squares of grid voltage over current: V = a + b I^(2/3) + R I, points from 0.3 to all of the current up to which the plate stands above half of the rail. The three-halves law gives the second term, a resistance the third.",
        "cathode-interface impedance: R parallel to C, near 0 in a new tube, up to some kilohms, worst after long hours at cut-off (IEC 60151-9, abstract; Osterwald, Electric Radio 54, 1993); limits illustrative",
        "the direct-current part of an interface layer, or any other resistance in the cathode lead",
        "its capacitance, and so what happens in the first microseconds of a step: with 0.01 uF it is over before the first sample. Short emission bends the curve alike; the emission reserve tells them apart");

    public static HealthItem Item(Screened s)
    {
        if (s.Of(ScreeningStepKind.Transfer) is not { } curve) return Topic.NotSeen(s.Missing(ScreeningStepKind.Transfer));
        var currents = Currents(s, curve);
        var most = currents.Where(c => !double.IsNaN(c)).DefaultIfEmpty(0).Max();
        if (most < LeastAmps) return Topic.NotSeen("too little current flows to tell");
        List<double[]> rows = [];
        List<double> grid = [];
        for (var i = 0; i < curve.Count; i++)
        {
            if (!(currents[i] > 0.3 * most)) continue;
            rows.Add([1, Math.Pow(currents[i], 2.0 / 3), currents[i]]);
            grid.Add(curve.Grid[i]);
        }
        if (LinearFit.Of(rows, grid) is not { } fit) return Topic.NotSeen("too few points carry current");
        return Topic.Judge(fit.Values[2], Math.Sqrt(Math.Pow(fit.Uncertainties[2], 2) + Math.Pow(s.CurrentGain * fit.Values[2], 2)), s.Mark);
    }

    /// <summary>
    /// Cathode currents where the plate stands high, NaN elsewhere. The plate resistor tells currents a hundred times more finely than the screen's, and above
    /// the knee the two share in a ratio that hardly changes.
    /// </summary>
    private static double[] Currents(Screened s, Curve curve)
    {
        var plate = Enumerable.Range(0, curve.Count).Select(i => curve.Plate[i] > PlateAbove * curve.Supply[i] ? s.PlateCurrent(curve, i) : double.NaN).ToArray();
        double Sag(int i) => 1 - curve.Plate[i] / curve.Supply[i];
        var used = Enumerable.Range(0, plate.Length).Where(i => plate[i] > LeastAmps / 5 && !double.IsNaN(s.CathodeCurrent(curve, i))).ToArray();
        // The whole over the plate's part changes a little as the plate falls; a line through all points says how, far more finely than any one point.
        var fit = LinearFit.Of([.. used.Select(i => new[] { plate[i], plate[i] * Sag(i) })], [.. used.Select(i => s.CathodeCurrent(curve, i))]);
        if (fit is null) return [.. plate.Select(_ => double.NaN)];
        return [.. plate.Select((c, i) => c * (fit.Values[0] + fit.Values[1] * Sag(i)))];
    }
}
