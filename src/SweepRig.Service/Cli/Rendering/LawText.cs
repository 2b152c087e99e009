using SweepRig.Domain.Quantities;
using SweepRig.Service.Cli.Terminal;
using SweepRig.Service.Contract;

namespace SweepRig.Service.Cli.Rendering;

/// <summary>Plain laws beside the model, for people.</summary>
public static class LawText
{
    public static IEnumerable<string> Lines(LawsView laws, Ink ink)
    {
        var fitted = laws.Laws.Where(l => l.Constants.Length > 0).ToArray();
        if (fitted.Length > 0)
        {
            yield return "What each leaves over of the output (rms, the same readings):";
            var table = new TextTable(("law", false), ("connection", false), ("points", true), ("law", true), ("model of the tube", true));
            foreach (var law in fitted)
                table.Row(law.Title, law.Connection, $"{law.Points}", Volts(law.OutputRmsVolts), Volts(law.ModelRmsVolts));
            foreach (var line in table.Lines(ink)) yield return line;
        }
        foreach (var law in laws.Laws)
        {
            if (fitted.Length > 0) yield return "";
            yield return $"{ink.Strong(law.Title)} ({law.Source})";
            if (law.Constants.Length > 0)
            {
                var table = new TextTable(("", false), ("", true), ("", false));
                foreach (var constant in law.Constants)
                    table.Row("  " + constant.Symbol, FigureText.Of(constant.Figure), constant.Figure.Unit == "1" ? "" : constant.Figure.Unit);
                foreach (var line in table.Lines(ink)) yield return line;
                foreach (var open in law.Constants.Where(c => c.Figure.Value is null)) yield return $"  {open.Symbol}: {open.Figure.AbsentBecause}.";
            }
            foreach (var finding in law.Findings) yield return $"  {finding.Says} {finding.Remedy}";
        }
        if (fitted.Length > 0) yield return ink.Faint(laws.Remark);
    }

    private static string Volts(double? volts) => volts is { } v ? Engineering.Format(v, "V", 3) : FigureText.None;
}
