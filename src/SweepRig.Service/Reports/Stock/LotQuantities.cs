using SweepRig.Analysis;
using SweepRig.Domain.Quantities;
using SweepRig.Domain.Tubes;
using SweepRig.Service.Live;

namespace SweepRig.Service.Reports.Stock;

/// <summary>A quantity of a lot, in the unit that its numbers are told in.</summary>
/// <param name="Word">For example <c>pentode.vol</c>.</param>
/// <param name="Unit">With its SI prefix; empty for a ratio.</param>
/// <param name="Factor">Of the prefix.</param>
/// <param name="Figures">By tube, those that have a value.</param>
internal sealed record LotQuantity(string Word, string Unit, double Factor, IReadOnlyList<(MeasuredTube Tube, Figure Figure)> Figures)
{
    /// <summary>For an axis: the connection is told in the caption.</summary>
    public string Axis
    {
        get
        {
            var name = Word[(Word.IndexOf('.', StringComparison.Ordinal) + 1)..];
            return Unit.Length == 0 ? name : $"{name} ({Unit})";
        }
    }

    public string Heading => Unit.Length == 0 ? Word : $"{Word} ({Unit})";

    /// <summary>In the unit told.</summary>
    public double[] Values => [.. Figures.Select(f => f.Figure.Value!.Value / Factor)];

    public Figure Told(Figure figure) => figure with { Value = figure.Value / Factor, Uncertainty = figure.Uncertainty / Factor, Unit = Unit };
}

/// <summary>Which quantities a report of a lot shows.</summary>
internal static class LotQuantities
{
    private const int Most = 6;

    private static readonly string[] Connections = [.. Enum.GetValues<ConnectionKind>().Select(BenchViews.Word)];

    private static readonly string[] Usual = ["switching-drive", "vol", "cut-off-drive"];

    /// <summary>Those that grades have limits for; else the usual ones, in the connection that most tubes were swept in. Only quantities that some tube has.</summary>
    public static IReadOnlyList<LotQuantity> Of(LotSheet sheet)
    {
        var limited = sheet.Scheme?.Grades.SelectMany(g => g.Limits).Select(l => l.Quantity).Distinct().ToArray() ?? [];
        var words = limited.Length > 0 ? limited : [.. Usual.Select(u => $"{Connection(sheet)}.{u}")];
        return [.. words.Take(Most).Select(w => Quantity(sheet, w)).Where(q => q.Figures.Count > 0)];
    }

    private static string Connection(LotSheet sheet) => sheet.Alive
        .SelectMany(t => t.Figures.Figures.Where(f => f.Value.Value is not null).Select(f => f.Key.Split('.')[0]).Distinct())
        .Where(Connections.Contains).GroupBy(c => c).OrderByDescending(g => g.Count()).Select(g => g.Key).FirstOrDefault() ?? Connections[0];

    private static LotQuantity Quantity(LotSheet sheet, string word)
    {
        (MeasuredTube, Figure)[] figures = [.. sheet.Alive.Where(t => t.Figures.Figures.GetValueOrDefault(word)?.Value is not null).Select(t => (t, t.Figures.Figures[word]))];
        if (figures.Length == 0) return new(word, "", 1, []);
        var unit = figures[0].Item2.Unit;
        var largest = figures.Max(f => Math.Abs(f.Item2.Value!.Value));
        foreach (var limit in sheet.Scheme?.Grades.SelectMany(g => g.Limits).Where(l => l.Quantity == word) ?? [])
            largest = Math.Max(largest, Math.Max(Math.Abs(limit.Lowest ?? 0), Math.Abs(limit.Highest ?? 0)));
        var (factor, prefix) = unit is "1" or "%" ? (1, "") : Engineering.PrefixFor(largest);
        return new(word, unit == "1" ? "" : prefix + unit, factor, figures);
    }
}
