using SweepRig.Analysis;
using SweepRig.Domain.Quantities;
using SweepRig.Service.Cli.Terminal;
using SweepRig.Service.Contract;

namespace SweepRig.Service.Cli.Rendering;

/// <summary>Levels of one run or of several side by side: a column a curve, a row a level, the unit in the row.</summary>
public static class LevelsTable
{
    /// <summary>Curves shown at most; a long family is read as JSON.</summary>
    public const int MaxCurves = 12;

    private const int CurvesAbreast = 4;

    /// <param name="runs">Levels with the word that heads their columns, for example the connection.</param>
    public static IEnumerable<string> Lines(IReadOnlyList<(string Heading, RunLevelsView Levels)> runs, Ink ink)
    {
        if (runs.Count == 0) yield break;
        var options = runs[0].Levels;
        var columns = runs.SelectMany(r => r.Levels.Curves.Select(c => (Heading: Heading(r.Heading, c.Pass, r.Levels.Curves.Length), Curve: c))).ToArray();
        var notes = new Footnotes(SharedRemarks(runs.Select(r => r.Levels)));
        foreach (var abreast in columns.Take(MaxCurves).Chunk(CurvesAbreast))
        {
            var table = new TextTable([("level", false), ("", false), .. abreast.Select(c => (c.Heading, true))]);
            foreach (var (name, pick) in Rows(options))
            {
                var figures = abreast.Select(c => pick(c.Curve)).ToArray();
                table.Row([name, Unit(figures[0].Unit), .. figures.Select(f => Cell(f, notes))]);
            }
            foreach (var line in table.Lines(ink)) yield return line;
            yield return "";
        }
        if (columns.Length > MaxCurves) yield return $"{columns.Length - MaxCurves} more curves; --json has them all.";
        foreach (var (heading, levels) in runs)
            if (levels.UpDownDifference.Value is not null)
                yield return $"{Capital(heading)}: up and down differ by at most {FigureText.WithUnit(levels.UpDownDifference)}{notes.Mark(levels.UpDownDifference.Mark)}.";
        foreach (var note in notes.Lines()) yield return ink.Faint(note);
        foreach (var shared in notes.Shared) yield return ink.Faint($"All figures: {shared}.");
    }

    private static IEnumerable<(string Name, Func<CurveLevelsView, Figure> Pick)> Rows(RunLevelsView options) =>
    [
        ("highest output", c => c.HighestOutput),
        ("lowest output", c => c.LowestOutput),
        ("switching drive", c => c.SwitchingDrive),
        ("output there", c => c.SwitchingOutput),
        ("gain there", c => c.SwitchingGain),
        ("unity gain, lower drive", c => c.UnityGainLow),
        ("unity gain, upper drive", c => c.UnityGainHigh),
        ($"cut-off drive ({Engineering.Format(options.CutOffPlateAmps, "A")})", c => c.CutOffDrive),
        ($"grid current from ({Engineering.Format(options.GridOnsetAmps, "A")})", c => c.GridCurrentOnset),
        ("fold-back depth", c => c.FoldBackDepth),
        ("drive at the minimum", c => c.DriveAtMinimum),
    ];

    /// <summary>What is said of every figure; it would stand behind each.</summary>
    private static string[] SharedRemarks(IEnumerable<RunLevelsView> runs)
    {
        var figures = runs.SelectMany(r => r.Curves.SelectMany(c => Rows(r).Select(row => row.Pick(c))).Append(r.UpDownDifference)).Where(f => f.Value is not null).ToArray();
        return figures.Length < 2 ? [] : [.. figures.Select(f => Footnotes.Parts(f.Mark)).Aggregate((all, one) => [.. all.Intersect(one)])];
    }

    private static string Cell(Figure figure, Footnotes notes) => FigureText.Of(figure) + notes.Mark(figure.Value is null ? figure.AbsentBecause : figure.Mark);

    private static string Heading(string run, PassView pass, int curves)
    {
        if (curves == 1) return run.Length > 0 ? run : pass.Direction;
        var second = pass.SecondSourceVolts is { } volts ? $" {Engineering.Format(volts, "V")}" : "";
        var repeat = pass.Repeat > 0 ? $" #{pass.Repeat + 1}" : "";
        return $"{run} {pass.Direction}{second}{repeat}".Trim();
    }

    private static string Unit(string unit) => unit == "1" ? "" : unit;

    private static string Capital(string text) => text.Length == 0 ? "Here" : char.ToUpperInvariant(text[0]) + text[1..];
}
