using System.Globalization;
using SweepRig.Domain.Quantities;
using SweepRig.Service.Cli.Terminal;
using SweepRig.Service.Contract;

namespace SweepRig.Service.Cli.Rendering;

/// <summary>A drift as charts and table, for a terminal.</summary>
public static class DriftText
{
    private const int MostRows = 30, TicksUp = 4, MostTicksAcross = 8, FewestDrawn = 3;

    public static IEnumerable<string> Lines(DriftView drift, int width, Ink ink)
    {
        yield return ink.Strong($"{drift.Tube}: {drift.Quantity.Word}, {drift.Quantity.Meaning}");
        if (drift.Points.Length >= FewestDrawn)
        {
            foreach (var line in Charts(drift, width)) yield return line;
            yield return "";
        }
        var table = new TextTable(("", true), ("when (UTC)", false), ("value", true), ("change", true), ("× its ±", true), ("flags", false));
        var skipped = Math.Max(0, drift.Points.Length - MostRows);
        for (var i = skipped; i < drift.Points.Length; i++)
        {
            var p = drift.Points[i];
            table.Row(
                (i + 1).ToString(CultureInfo.InvariantCulture), p.StartedUtc.ToString("yyyy-MM-dd HH:mm", CultureInfo.InvariantCulture), FigureText.Scaled(p.Value),
                p.Change is { } change ? FigureText.Scaled(change) : "", p.OverUncertainty?.ToString("0.0", CultureInfo.InvariantCulture) ?? "", string.Join(", ", p.Flags));
        }
        foreach (var line in table.Lines(ink)) yield return line;
        if (skipped > 0) yield return $"{skipped} older ones are not listed; --json has them all.";
        yield return "";
        foreach (var says in drift.Says) yield return says;
        if (drift.LeftOut.Length > 0)
            yield return $"Left out: {string.Join("; ", drift.LeftOut.GroupBy(l => l.Because).Select(g => $"{g.Count()} with {g.Key}"))}.";
    }

    private static IEnumerable<string> Charts(DriftView drift, int width)
    {
        var (factor, unit) = Scale(drift);
        if (drift.Individuals is { } c)
        {
            foreach (var line in Chart(drift.Points.Select(p => p.Value.Value), [c.Lower, c.Centre, c.Upper], $"single values{unit}, number of the measurement across; dotted: mean, and limits of three standard deviations")) yield return line;
            foreach (var line in Chart(drift.Points.Select(p => p.Range), [0, c.MeanRange, c.UpperRange], $"moving range{unit}; dotted: mean and upper limit")) yield return line;
        }
        if (drift.Average is not { } a) yield break;
        var title = string.Create(CultureInfo.InvariantCulture, $"moving average{unit}, the newest with a weight of {a.Weight:0.##}; dotted: limits");
        foreach (var line in Chart(drift.Points.Select(p => p.Average), [a.Lower, a.Upper], title)) yield return line;

        IEnumerable<string> Chart(IEnumerable<double?> values, double[] limits, string title)
        {
            double?[] scaled = [.. values.Select(v => v / factor)];
            var frame = PlotFrame.Of(Enumerable.Range(1, scaled.Length).Select(i => (double?)i), scaled.Concat(limits.Select(l => (double?)(l / factor))), Math.Min(MostTicksAcross, scaled.Length - 1), TicksUp, width);
            foreach (var limit in limits) frame.Dotted(limit / factor);
            (int X, int Y)? before = null;
            for (var i = 0; i < scaled.Length; i++)
            {
                if (scaled[i] is not { } v) continue;
                var here = (X: frame.X(i + 1), Y: frame.Y(v));
                if (before is { } b) frame.Canvas.Line(b.X, b.Y, here.X, here.Y);
                for (var d = -1; d <= 1; d++) frame.Canvas.Line(here.X - 1, here.Y + d, here.X + 1, here.Y + d);
                before = here;
            }
            return frame.Lines(title);
        }
    }

    private static (double Factor, string Unit) Scale(DriftView drift)
    {
        var unit = drift.Quantity.Unit;
        if (unit is "1") return (1, "");
        if (unit is "%") return (1, " / %");
        var (factor, prefix) = Engineering.PrefixFor(drift.Points.Max(p => Math.Abs(p.Value.Value!.Value)));
        return (factor, $" / {prefix}{unit}");
    }
}
