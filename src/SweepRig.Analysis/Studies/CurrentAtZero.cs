using SweepRig.Domain.Measurement;
using SweepRig.Domain.Runs;

namespace SweepRig.Analysis.Studies;

/// <summary>Current of plate and screen at 0 V drive, by the last readings of a sweep that ends there: what a circuit sees of a cathode.</summary>
public static class CurrentAtZero
{
    private const int Readings = 3;

    /// <summary>Absolute, with what the calibration leaves unknown.</summary>
    public static Figure Of(Curve curve, MeasurementUncertainty known)
    {
        ArgumentNullException.ThrowIfNull(curve);
        ArgumentNullException.ThrowIfNull(known);
        var last = Last(curve);
        if (last.Length == 0) return Figure.None("A", "the readings at 0 V drive are missing");
        double sum = 0;
        List<FigureTerm> terms = [];
        foreach (var i in last)
        {
            sum += Amps(curve, i) / last.Length;
            void Add(MeasuredCurrent current, double to) =>
                terms.AddRange(known.CurrentTerms(current, curve.Supply[i], to).Select(t => t with { Sensitivity = t.Sensitivity / last.Length }));
            Add(MeasuredCurrent.Plate, curve.Plate[i]);
            if (double.IsFinite(curve.ScreenCurrent[i])) Add(MeasuredCurrent.Screen, curve.Screen[i]);
        }
        return Figure.Of(sum, "A", known.StandardUncertainty([.. terms]), known.Calibration.IsNominal ? "the rig is not calibrated" : null);
    }

    /// <summary>Over that of the first sweeps, %. What the calibration does to both falls out; their own scatter makes the uncertainty.</summary>
    /// <param name="first">One sweep or more.</param>
    /// <param name="sigma">Standard uncertainty of one such value by scatter, %.</param>
    public static Figure Share(Curve curve, IReadOnlyList<Curve> first, double sigma)
    {
        ArgumentNullException.ThrowIfNull(curve);
        ArgumentNullException.ThrowIfNull(first);
        var before = first.Select(Mean).Where(double.IsFinite).DefaultIfEmpty(double.NaN).Average();
        var now = Mean(curve);
        return double.IsFinite(now) && before > 0
            ? Figure.Of(100 * now / before, "%", sigma * Math.Sqrt(1 + 1.0 / first.Count))
            : Figure.None("%", "the readings at 0 V drive are missing, or no current flowed at first");
    }

    /// <summary>Scatter of such shares among sweeps of a tube at rest, %; never below <see cref="RepeatBaseline.LeastScale"/>.</summary>
    public static double Scatter(IReadOnlyList<Curve> sweeps)
    {
        ArgumentNullException.ThrowIfNull(sweeps);
        double[] all = [.. sweeps.Select(Mean).Where(double.IsFinite)];
        var least = 100 * RepeatBaseline.LeastScale;
        if (all.Length < 2 || !(all.Average() > 0)) return least;
        var mean = all.Average();
        return Math.Max(least, 100 / mean * Math.Sqrt(all.Sum(a => (a - mean) * (a - mean)) / (all.Length - 1)));
    }

    private static double Mean(Curve curve) => Last(curve) is { Length: > 0 } last ? last.Average(i => Amps(curve, i)) : double.NaN;

    private static double Amps(Curve curve, int i) => curve.PlateCurrent[i] + (double.IsFinite(curve.ScreenCurrent[i]) ? curve.ScreenCurrent[i] : 0);

    private static int[] Last(Curve curve) => [.. Enumerable.Range(Math.Max(0, curve.Count - Readings), Math.Min(Readings, curve.Count)).Where(i => double.IsFinite(curve.PlateCurrent[i]))];
}
