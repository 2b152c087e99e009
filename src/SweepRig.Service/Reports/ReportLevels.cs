using SweepRig.Service.Cli.Rendering;
using SweepRig.Service.Live;

namespace SweepRig.Service.Reports;

/// <summary>Levels with expanded uncertainties and marks, the same rows as everywhere else.</summary>
internal static class ReportLevels
{
    private const int Abreast = 4;

    public static ReportSection Of(RecordedRun run)
    {
        var levels = run.Levels();
        var rows = LevelsTable.Rows(levels, all: true).ToArray();
        var notes = new Footnotes(LevelsTable.SharedRemarks([levels]));
        var tables = levels.Curves.Take(LevelsTable.MaxCurves).Chunk(Abreast).Select(block => new ReportTable(
            "",
            ["level", "", .. block.Select(c => LevelsTable.Heading("", c.Pass, levels.Curves.Length))],
            [
                .. rows.Select(row => (string[])
                [
                    row.Name,
                    LevelsTable.Unit(row.Pick(block[0]).Unit),
                    .. block.Select(c => LevelsTable.Cell(row.Pick(c), notes)),
                ]),
            ])).ToArray();
        List<string> says = [LevelsTable.CoverageLine([("", levels)])];
        if (levels.UpDownDifference.Value is not null)
            says.Add($"Up and down differ by at most {FigureText.WithUnit(levels.UpDownDifference)}{notes.Mark(levels.UpDownDifference.Mark)}.");
        if (levels.Curves.Length > LevelsTable.MaxCurves) says.Add($"{levels.Curves.Length - LevelsTable.MaxCurves} more curves are not shown here.");
        return new("Levels", [], tables, [.. says, .. notes.Lines(), .. notes.Shared.Select(s => $"All figures: {s}.")]);
    }
}
