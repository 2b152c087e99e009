using System.Globalization;
using SweepRig.Domain.Quantities;
using SweepRig.Service.Cli.Terminal;
using SweepRig.Service.Contract;

namespace SweepRig.Service.Cli.Rendering;

/// <summary>A family and a load line on it for people.</summary>
public static class FamilyText
{
    private const int PlotWidth = 80;

    public static IEnumerable<string> Lines(FamilyView family, FamilyPredictionView predicted, int width, Ink ink)
    {
        var line = $"{Engineering.Format(predicted.PlateResistorOhms, "Ω")} at {Engineering.Format(predicted.PlateRailVolts, "V")}";
        yield return $"{Capital(family.Connection)} connection, {family.Curves} curves of {Count(family.RunIds.Length, "run")}.";
        if (family.Lines.Length > 0)
        {
            yield return "";
            var rail = predicted.PlateRailVolts;
            List<(double?[] Across, double?[] Up)> drawn = [.. family.Lines.Select(l => (Cells(l.PlateVolts), Cells(Array.ConvertAll(l.PlateAmps, a => a * 1e3))))];
            drawn.Add(([0, rail], [rail / predicted.PlateResistorOhms * 1e3, 0]));
            foreach (var row in TextPlot.Lines(drawn, "plate current / mA over plate voltage / V", Math.Min(width, PlotWidth))) yield return row;
            yield return ink.Faint($"Lines of drive, from the right: {string.Join(", ", family.Lines.Select(l => Volts(l.DriveVolts)))} V. Straight: the load line, {line}.");
        }
        yield return "";
        var table = new TextTable(("drive / V", true), ($"output with {line} / V", true), ("plate current / mA", true));
        foreach (var at in Rows(predicted, family))
        {
            var uncertainty = predicted.CoverageFactor * at.Uncertainty;
            table.Row(Volts(at.Drive), $"{FigureText.Of(SweepRig.Analysis.Figure.Of(at.Plate, "V", at.Uncertainty))}", Milliamperes((predicted.PlateRailVolts - at.Plate) / predicted.PlateResistorOhms, uncertainty / predicted.PlateResistorOhms));
        }
        foreach (var row in table.Lines(ink)) yield return row;
        yield return "± holds the true value with 95 % probability (expanded uncertainty, k = 2).";
        if (predicted.Note is { } note) yield return Capital(note) + ".";
        if (predicted.Check is { } check) yield return $"Held against run {check.CheckedRunId[..8]}: {(check.Verdict == "failed" ? ink.Alarm("the prediction did not hold") : check.Verdict == "edge" ? "the prediction held but for chance" : "the prediction held")}. {check.Says}";
    }

    /// <summary>Evenly over the drives at which something is said.</summary>
    private static IEnumerable<(double Drive, double Plate, double Uncertainty)> Rows(FamilyPredictionView predicted, FamilyView family)
    {
        const int most = 15;
        var said = Enumerable.Range(0, predicted.Drive.Length).Where(i => predicted.Plate[i] is not null && predicted.Uncertainty[i] is not null && predicted.Drive[i] >= family.LowestDrive).ToArray();
        var shown = Math.Min(most, said.Length);
        for (var k = 0; k < shown; k++)
        {
            var i = said[shown == 1 ? 0 : (int)Math.Round((double)k * (said.Length - 1) / (shown - 1))];
            yield return (predicted.Drive[i], predicted.Plate[i]!.Value, predicted.Uncertainty[i]!.Value);
        }
    }

    private static double?[] Cells(double[] column) => Array.ConvertAll(column, v => (double?)v);

    private static string Volts(double value) => value.ToString("0.##", CultureInfo.InvariantCulture);

    private static string Milliamperes(double amps, double expanded) => FigureText.Of(SweepRig.Analysis.Figure.Of(amps * 1e3, "mA", expanded * 1e3 / 2));

    private static string Count(int count, string what) => $"{count} {what}{(count == 1 ? "" : "s")}";

    private static string Capital(string text) => text.Length == 0 ? text : char.ToUpperInvariant(text[0]) + text[1..];
}
