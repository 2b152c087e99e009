using SweepRig.Domain.Quantities;
using SweepRig.Domain.Runs;
using SweepRig.Domain.Tubes;
using SweepRig.Service.Live;

namespace SweepRig.Service.Reports;

/// <summary>The figures of a run: output over drive for every pass, and the currents of the first.</summary>
internal static class ReportFigures
{
    /// <summary>Curves in one figure; more cannot be told apart at arm's length.</summary>
    private const int MostCurves = 7;

    public static IReadOnlyList<ReportFigure> Of(RecordedRun run)
    {
        var curves = run.Curves;
        if (curves.Count == 0 || curves.All(c => !c.Plate.Any(double.IsFinite))) return [];
        var shown = Shown(curves);
        var left = curves.Count > shown.Count ? $", {shown.Count} of {curves.Count} passes" : "";
        var first = curves[0];
        List<ReportCurve> currents = [Curve("plate", first, first.PlateCurrent, 1e3)];
        if (run.Record.Header.Plan.Connection.Kind == ConnectionKind.Pentode) currents.Add(Curve("screen", first, first.ScreenCurrent, 1e3));
        else currents[0] = currents[0] with { Label = "plate+screen" };
        currents.Add(Curve("grid", first, first.GridCurrent, 1e3));
        return
        [
            new($"Output over drive{left}", "drive (V)", "output (V)", [.. shown.Select(c => Curve(Label(c.Pass, curves), c, c.Plate, 1))]),
            new($"Currents over drive, {Label(first.Pass, curves)} pass", "drive (V)", "current (mA)", currents),
        ];
    }

    /// <summary>The first pass of a run; null when it has no reading.</summary>
    public static ReportCurve? Output(RecordedRun run, string label) =>
        run.Curves.Count > 0 && run.Curves[0].Plate.Any(double.IsFinite) ? Curve(label, run.Curves[0], run.Curves[0].Plate, 1) : null;

    // The first, the last and even steps between them.
    private static List<Curve> Shown(IReadOnlyList<Curve> curves) => curves.Count <= MostCurves
        ? [.. curves]
        : [.. Enumerable.Range(0, MostCurves).Select(i => curves[(int)Math.Round((double)i * (curves.Count - 1) / (MostCurves - 1))])];

    public static string Label(PassHeader pass, IReadOnlyList<Curve> curves)
    {
        var word = BenchViews.Word(pass.Direction);
        var second = pass.SecondSourceVolts is { } volts ? $" {Engineering.Format(volts, "V", 3)}" : "";
        return curves.Any(c => c.Pass.Repeat > 0) ? $"{word}{second} #{pass.Repeat + 1}" : word + second;
    }

    private static ReportCurve Curve(string label, Curve curve, double[] column, double scale)
    {
        var order = Enumerable.Range(0, curve.Count).ToArray();
        if (curve.Pass.Direction == PassDirection.Down) Array.Reverse(order);
        return new(label, Array.ConvertAll(order, i => curve.Drive[i]), Array.ConvertAll(order, i => column[i] * scale));
    }
}
