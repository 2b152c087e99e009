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

    private const int MostAbreast = 4;

    /// <param name="runs">Levels with the word that heads their columns, for example the connection.</param>
    /// <param name="width">Columns to keep to; where the curves do not fit side by side they come in blocks, like against like.</param>
    /// <param name="all">Every level; else the ones that a builder looks at first.</param>
    public static IReadOnlyList<string> Lines(IReadOnlyList<(string Heading, RunLevelsView Levels)> runs, int width, Ink ink, bool all = false)
    {
        if (runs.Count == 0) return [];
        // Halves, and not one less: an up and a down pass, or a pass of each connection, belong together.
        for (var abreast = MostAbreast; abreast > 1; abreast /= 2)
        {
            // Marked text is longer than it looks, so the plain one is measured.
            if (Blocks(runs, abreast, default, NotesOf(runs), all).All(line => line.Length <= width)) return Whole(runs, abreast, ink, all);
        }
        return Whole(runs, 1, ink, all);
    }

    private static List<string> Whole(IReadOnlyList<(string Heading, RunLevelsView Levels)> runs, int abreast, Ink ink, bool all)
    {
        var notes = NotesOf(runs);
        var lines = Blocks(runs, abreast, ink, notes, all).ToList();
        foreach (var (heading, levels) in runs)
            if (levels.UpDownDifference.Value is not null)
                lines.Add($"{Capital(heading)}: up and down differ by at most {FigureText.WithUnit(levels.UpDownDifference)}{notes.Mark(levels.UpDownDifference.Mark)}.");
        lines.AddRange(notes.Lines().Select(ink.Faint));
        lines.AddRange(notes.Shared.Select(shared => ink.Faint($"All figures: {shared}.")));
        lines.Add(ink.Faint(CoverageLine(runs)));
        return lines;
    }

    /// <summary>What ± means, with the coverage factors of the figures that are shown.</summary>
    internal static string CoverageLine(IReadOnlyList<(string Heading, RunLevelsView Levels)> runs)
    {
        var factors = runs.SelectMany(r => r.Levels.Curves.SelectMany(c => Rows(r.Levels, all: true).Select(row => row.Pick(c).CoverageFactor))).OfType<double>().DefaultIfEmpty(2).ToArray();
        var (least, most) = (Math.Round(factors.Min(), 1), Math.Round(factors.Max(), 1));
        var k = least == most ? FormattableString.Invariant($"{most:0.0}") : FormattableString.Invariant($"{least:0.0} to {most:0.0}");
        return $"± holds the true value with 95 % probability (expanded uncertainty, k = {k}).";
    }

    private static IEnumerable<string> Blocks(IReadOnlyList<(string Heading, RunLevelsView Levels)> runs, int abreast, Ink ink, Footnotes notes, bool all)
    {
        var columns = runs.SelectMany(r => r.Levels.Curves.Select(c => (Heading: Heading(r.Heading, c.Pass, r.Levels.Curves.Length), Curve: c))).ToArray();
        // In blocks, the same pass of each run stands side by side: that is what one wants to compare.
        if (columns.Length > abreast && runs.Count > 1) columns = [.. columns.OrderBy(c => c.Curve.Pass.Index)];
        foreach (var block in columns.Take(MaxCurves).Chunk(abreast))
        {
            var table = new TextTable([("level", false), ("", false), .. block.Select(c => (c.Heading, true))]);
            foreach (var (name, pick) in Rows(runs[0].Levels, all))
            {
                var figures = block.Select(c => pick(c.Curve)).ToArray();
                table.Row([name, Unit(figures[0].Unit), .. figures.Select(f => Cell(f, notes))]);
            }
            foreach (var line in table.Lines(ink)) yield return line;
            yield return "";
        }
        if (columns.Length > MaxCurves) yield return $"{columns.Length - MaxCurves} more curves; --json has them all.";
    }

    private static Footnotes NotesOf(IReadOnlyList<(string Heading, RunLevelsView Levels)> runs) => new(SharedRemarks(runs.Select(r => r.Levels)));

    /// <summary>Names as they stand in the table, with what they name.</summary>
    public static IEnumerable<(string Name, Func<CurveLevelsView, Figure> Pick)> Rows(RunLevelsView options, bool all) => all ? First(options).Concat(Rest(options)) : First(options);

    private static IEnumerable<(string Name, Func<CurveLevelsView, Figure> Pick)> Rest(RunLevelsView options) =>
    [
        ("output at VIL", c => c.OutputAtUnityLow),
        ("output at VIH", c => c.OutputAtUnityHigh),
        ("transition width", c => c.TransitionWidth),
        ("margin low, coupled directly", c => c.MarginLow),
        ("margin high, coupled directly", c => c.MarginHigh),
        (FormattableString.Invariant($"cut-off drive ({100 * options.CutOffFraction:0.##} % of full)"), c => c.CutOffDriveOfFull),
        ($"grid current from ({Engineering.Format(options.GridOnsetUpperAmps, "A")})", c => c.GridCurrentOnsetUpper),
        ("cathode temperature", c => c.CathodeTemperature),
        ("input current at VOH", c => c.InputCurrentAtHigh),
        ("fold-back slope", c => c.FoldBackSlope),
        ("saturated plate resistance", c => c.SaturatedResistance),
    ];

    private static IEnumerable<(string Name, Func<CurveLevelsView, Figure> Pick)> First(RunLevelsView options) =>
    [
        ("VOH, highest output", c => c.HighestOutput),
        ("VOL, lowest output", c => c.LowestOutput),
        ("switching drive", c => c.SwitchingDrive),
        ("output there", c => c.SwitchingOutput),
        ("gain there", c => c.SwitchingGain),
        ("VIL, lower unity gain", c => c.UnityGainLow),
        ("VIH, upper unity gain", c => c.UnityGainHigh),
        ($"cut-off drive ({Engineering.Format(options.CutOffPlateAmps, "A")})", c => c.CutOffDrive),
        ($"grid current from ({Engineering.Format(options.GridOnsetAmps, "A")})", c => c.GridCurrentOnset),
        ("fold-back depth", c => c.FoldBackDepth),
        ("drive at the minimum", c => c.DriveAtMinimum),
    ];

    /// <summary>What is said of every figure; it would stand behind each.</summary>
    internal static string[] SharedRemarks(IEnumerable<RunLevelsView> runs)
    {
        var figures = runs.SelectMany(r => r.Curves.SelectMany(c => Rows(r, all: true).Select(row => row.Pick(c))).Append(r.UpDownDifference)).Where(f => f.Value is not null).ToArray();
        return figures.Length < 2 ? [] : [.. figures.Select(f => Footnotes.Parts(f.Mark)).Aggregate((all, one) => [.. all.Intersect(one)])];
    }

    internal static string Cell(Figure figure, Footnotes notes) => FigureText.Of(figure) + notes.Mark(figure.Value is null ? figure.AbsentBecause : figure.Mark);

    internal static string Heading(string run, PassView pass, int curves)
    {
        if (curves == 1) return run.Length > 0 ? run : pass.Direction;
        var second = pass.SecondSourceVolts is { } volts ? $" {Engineering.Format(volts, "V")}" : "";
        var repeat = pass.Repeat > 0 ? $" #{pass.Repeat + 1}" : "";
        return $"{run} {pass.Direction}{second}{repeat}".Trim();
    }

    internal static string Unit(string unit) => unit == "1" ? "" : unit;

    private static string Capital(string text) => text.Length == 0 ? "This run" : char.ToUpperInvariant(text[0]) + text[1..];
}
