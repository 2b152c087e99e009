using System.Globalization;
using SweepRig.Analysis.Matching;
using SweepRig.Domain.Stock;
using SweepRig.Service.Cli.Rendering;

namespace SweepRig.Service.Reports.Stock;

/// <summary>The tubes of a lot that belong together.</summary>
internal static class LotPairs
{
    private const int MostShown = 40;

    public static ReportSection Of(LotSheet sheet, IReadOnlyList<LotQuantity> quantities, CancellationToken cancellationToken)
    {
        MatchQuantity[] by = [.. quantities.Where(q => q.Figures.Count > 1).Select(q => new MatchQuantity(q.Word))];
        if (by.Length == 0) return Nothing("Two tubes or more must have been swept before they can be paired.");
        MeasuredTube[] free = [.. sheet.Alive.Where(t => t.Tube.State != TubeState.InUse && Likeness.Distance(by, t.Figures.Figures, t.Figures.Figures) is not null)];
        if (free.Length < 2) return Nothing($"{LotReport.Count(free.Length, "free tube")} of this lot {(free.Length == 1 ? "has" : "have")} {string.Join(", ", by.Select(b => b.Quantity))} with an uncertainty; a pair needs two.");
        var pairing = Pairing.Best(free.Length, (i, j) => Likeness.Distance(by, free[i].Figures.Figures, free[j].Figures.Figures)!.Value, cancellationToken: cancellationToken);
        List<string> notes =
        [
            "Unlike by: root mean square of the differences, each over the standard uncertainty of the difference; below 2 the measurement hardly tells the two apart.",
            pairing.IsProvenBest
                ? "No other pairing of these tubes has a smaller sum: proven."
                : string.Create(CultureInfo.InvariantCulture, $"Not proven the best: no pairing has a sum below {pairing.Bound:0.###}, this has {pairing.Total:0.###}."),
        ];
        if (pairing.Pairs.Count > MostShown) notes.Insert(0, $"The {MostShown} nearest of {pairing.Pairs.Count} pairs; sweeprig match \"{sheet.Lot.Name}\" lists all.");
        if (pairing.LeftOver is { } left) notes.Add($"Left over: {free[left].Tube.Label}.");
        return new("Pairs", [],
        [
            new("", ["tube", "with", "unlike by", .. by.Select(b => b.Quantity)],
                [.. pairing.Pairs.Take(MostShown).Select(p => (string[])
                [
                    free[p.First].Tube.Label, free[p.Second].Tube.Label, p.Distance.ToString("0.00", CultureInfo.InvariantCulture),
                    .. by.Select(b => FigureText.Scaled(Likeness.Difference(free[p.First].Figures.Figures[b.Quantity], free[p.Second].Figures.Figures[b.Quantity]))),
                ])]),
        ], notes);
    }

    private static ReportSection Nothing(string why) => new("Pairs", [], [], [why]);
}
