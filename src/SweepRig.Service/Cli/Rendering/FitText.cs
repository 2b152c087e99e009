using SweepRig.Domain.Quantities;
using SweepRig.Service.Cli.Terminal;
using SweepRig.Service.Contract;

namespace SweepRig.Service.Cli.Rendering;

/// <summary>A fit for people: status, findings, constants, and what is left open.</summary>
public static class FitText
{
    public static IEnumerable<string> Lines(FitView fit, Ink ink)
    {
        yield return fit.Says;
        foreach (var finding in fit.Findings)
            if (!fit.Says.EndsWith(finding.Says, StringComparison.Ordinal)) yield return $"{finding.Says} {finding.Remedy}";
            else yield return finding.Remedy;
        if (fit.Constants.Length == 0) yield break;
        yield return "";
        var table = new TextTable(("constant", false), ("value", true), ("95 % interval", true), ("unit", false));
        foreach (var constant in fit.Constants)
        {
            if (constant.Figure.Value is { } value) table.Row(constant.Title, Plain(value), $"{Plain(constant.Low!.Value)} to {Plain(constant.High!.Value)}", Unit(constant.Figure.Unit));
            else table.Row(constant.Title, FigureText.None, "", "");
        }
        foreach (var line in table.Lines(ink)) yield return line;
        foreach (var constant in fit.Constants.Where(c => c.Figure.Value is null))
            yield return $"{constant.Title}: {constant.Figure.AbsentBecause}." + (constant.Needed is { } needed ? $" Would tell it: {needed.Says}." : "");
        if (fit.Range is not { } range) yield break;
        yield return ink.Faint($"Seen to hold for drives of {Engineering.Format(range.LowestDrive, "V", 3)} to {Engineering.Format(range.HighestDrive, "V", 3)}, rails up to {Engineering.Format(range.HighestRail, "V", 3)}, "
            + $"outputs down to {Engineering.Format(range.LowestPlate, "V", 3)} and cathode currents up to {Engineering.Format(range.HighestCathodeAmps, "A", 3)}.");
    }

    private static string Plain(double value) => Math.Abs(value) is >= 1e-2 and < 1e5 or 0
        ? value.ToString("0.####", System.Globalization.CultureInfo.InvariantCulture)
        : value.ToString("0.000e0", System.Globalization.CultureInfo.InvariantCulture);

    private static string Unit(string unit) => unit == "1" ? "" : unit;
}
