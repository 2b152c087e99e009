using SweepRig.Analysis;
using SweepRig.Service.Cli.Terminal;
using SweepRig.Service.Contract;

namespace SweepRig.Service.Cli.Rendering;

/// <summary>A study for people: why it ended, its figures, its steps, and what to know of them.</summary>
public static class StudyText
{
    /// <summary>Rows of a table of steps; more are thinned evenly.</summary>
    private const int MostRows = 24;

    public static IEnumerable<string> Lines(StudyView study, Ink ink)
    {
        yield return $"{study.Tube.Label} ({study.Tube.Type}), {Kind(study.Kind)}: {End(study.End, ink)}";
        if (study.Because.Length > 0) yield return $"  {char.ToUpperInvariant(study.Because[0])}{study.Because[1..].TrimEnd('.')}.";
        yield return "";
        var table = new TextTable(("value", true), ("what", false));
        foreach (var figure in study.Figures.Where(f => f.Figure.Value is not null)) table.Row(FigureText.Scaled(figure.Figure), figure.Meaning);
        foreach (var line in table.Lines(ink)) yield return line;
        foreach (var none in study.Figures.Where(f => f.Figure.Value is null)) yield return $"{none.Meaning}: {none.Figure.AbsentBecause!.TrimEnd('.')}.";
        yield return ink.Faint("± is the expanded uncertainty, 95 %.");
        foreach (var line in Steps(study, ink)) yield return line;
        yield return "";
        foreach (var mark in study.Figures.Select(f => f.Figure.Mark).OfType<string>().Distinct(StringComparer.Ordinal)) yield return ink.Faint($"Some figures: {mark}.");
        foreach (var note in study.Notes) yield return note;
    }

    public static string Kind(string kind) => kind switch
    {
        "exploration" => "exploration of positive drive",
        "warm-up" => "warm-up study",
        "life" => "life test",
        "repeat" => "repeats",
        _ => kind,
    };

    public static string End(string end) => end switch
    {
        "under-way" => "not at its end",
        "not-recovered" => "the tube did not recover",
        "unsteady" => "the tube is not steady",
        "fold-back" => "the output folds back",
        "limit" => "stopped at a limit",
        "worn-out" => "worn out",
        "dead" => "no current",
        _ => end,
    };

    private static string End(string end, Ink ink) => end is "completed" or "fold-back" or "limit" ? ink.Strong(End(end)) : ink.Alarm(End(end));

    /// <summary>Series that share their x are columns of one table.</summary>
    private static IEnumerable<string> Steps(StudyView study, Ink ink)
    {
        foreach (var together in study.Series.Where(s => s.X.Length > 1).GroupBy(s => (s.XMeaning, s.X.Length)))
        {
            StudySeriesView[] columns = [.. together];
            if (columns.Length == 1 && columns[0].X.Length > 10 * MostRows) continue;
            yield return "";
            var table = new TextTable([($"{columns[0].XMeaning}", true), .. columns.Select(c => (c.YMeaning, true))]);
            for (var row = 0; row < Math.Min(MostRows, columns[0].X.Length); row++)
            {
                var i = columns[0].X.Length <= MostRows ? row : (int)Math.Round(row * (columns[0].X.Length - 1) / (MostRows - 1.0));
                table.Row([
                    FigureText.Scaled(Figure.Of(columns[0].X[i], columns[0].XUnit, null)),
                    .. columns.Select(c => c.Y[i] is { } y ? FigureText.Scaled(Figure.Of(y, c.YUnit, c.Uncertainty[i])) : ""),
                ]);
            }
            foreach (var line in table.Lines(ink)) yield return line;
        }
    }
}
