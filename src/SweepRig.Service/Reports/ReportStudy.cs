using SweepRig.Domain.Quantities;
using SweepRig.Service.Cli.Rendering;
using SweepRig.Service.Contract;

namespace SweepRig.Service.Reports;

/// <summary>What a study found, on paper.</summary>
public static class ReportStudy
{
    private const int MostFigures = 2;

    public static ReportSection Of(StudyView study) => new(
        Heading(study),
        [.. study.Series.Where(s => s.Y.Count(y => y is not null) > 1).Take(MostFigures).Select(Drawn)],
        [new("", ["figure", "value"], [.. study.Figures.Select(f => (string[])[f.Meaning, f.Figure.Value is null ? $"none: {f.Figure.AbsentBecause}" : FigureText.Scaled(f.Figure)])]) { Words = 1 }],
        study.Notes)
    {
        Lead = [study.Because.Length == 0 ? "This study did not come to its end." : $"{char.ToUpperInvariant(study.Because[0])}{study.Because[1..].TrimEnd('.')}."],
    };

    private static string Heading(StudyView study)
    {
        var kind = StudyText.Kind(study.Kind);
        return $"{char.ToUpperInvariant(kind[0])}{kind[1..]}, {RunText.Day(study.StartedUtc)}: {StudyText.End(study.End)}";
    }

    private static ReportFigure Drawn(StudySeriesView series)
    {
        var (factor, prefix) = series.YUnit is "1" or "%" ? (1, "") : Engineering.PrefixFor(series.Y.Max(y => Math.Abs(y ?? 0)));
        int[] kept = [.. Enumerable.Range(0, series.X.Length).Where(i => series.Y[i] is not null)];
        var banded = kept.All(i => series.Uncertainty[i] is not null);
        return new(
            $"{char.ToUpperInvariant(series.YMeaning[0])}{series.YMeaning[1..]} over {series.XMeaning}", series.XUnit == "1" ? series.XMeaning : $"{series.XMeaning} ({series.XUnit})", $"{series.YMeaning} ({prefix}{series.YUnit})",
            [
                new("", [.. kept.Select(i => series.X[i])], [.. kept.Select(i => series.Y[i]!.Value / factor)])
                {
                    HalfWidth = banded ? [.. kept.Select(i => 2 * series.Uncertainty[i]!.Value / factor)] : null,
                },
            ])
        {
            IsCloud = true,
            IsSmall = true,
        };
    }
}
