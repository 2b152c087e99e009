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
        foreach (var line in Findings(fit)) yield return line;
        if (fit.Constants.Length == 0) yield break;
        yield return "";
        var table = new TextTable(("constant", false), ("value", true), ("95 % interval", true), ("unit", false));
        foreach (var constant in fit.Constants)
        {
            var (value, interval, unit) = Cells(constant);
            table.Row(constant.Title, value, interval, unit);
        }
        foreach (var line in table.Lines(ink)) yield return line;
        if (fit.SwitchingPoint is { } switching)
            yield return switching.Value is null
                ? $"Switching point: {switching.AbsentBecause}."
                : $"Switching point: {FigureText.Scaled(switching)} of drive (95 %), as this rig reads it; what the calibration leaves unknown comes on top.";
        foreach (var line in Open(fit)) yield return line;
        if (Range(fit) is { } range) yield return ink.Faint(range);
    }

    /// <summary>Findings that the sentence on the status has not told yet, and what to do about each.</summary>
    public static IEnumerable<string> Findings(FitView fit) =>
        fit.Findings.Select(f => fit.Says.EndsWith(f.Says, StringComparison.Ordinal) ? f.Remedy : $"{f.Says} {f.Remedy}");

    /// <summary>A sentence for each constant without a number: why, and what would tell it.</summary>
    public static IEnumerable<string> Open(FitView fit) =>
        fit.Constants.Where(c => c.Figure.Value is null)
            .Select(c => $"{c.Title}: {c.Figure.AbsentBecause}." + (c.Needed is { } needed ? $" Would tell it: {needed.Says.TrimEnd('.')}." : ""));

    public static string? Range(FitView fit) => fit.Range is not { } range ? null
        : $"Seen to hold for drives of {Engineering.Format(range.LowestDrive, "V", 3)} to {Engineering.Format(range.HighestDrive, "V", 3)}, rails up to {Engineering.Format(range.HighestRail, "V", 3)}, "
            + $"outputs down to {Engineering.Format(range.LowestPlate, "V", 3)} and cathode currents up to {Engineering.Format(range.HighestCathodeAmps, "A", 3)}.";

    /// <summary>Value, interval of 95 % and unit, rounded alike.</summary>
    public static (string Value, string Interval, string Unit) Cells(FittedConstantView constant) => constant.Figure.Value is { } value
        ? FigureText.Interval(value, constant.Low!.Value, constant.High!.Value, constant.Figure.Unit)
        : (constant.Needed is null ? "none seen" : "not determined", "", "");
}
