using System.Globalization;
using SweepRig.Domain.Quantities;
using SweepRig.Service.Cli.Terminal;
using SweepRig.Service.Contract;

namespace SweepRig.Service.Cli.Rendering;

/// <summary>Spares of a tube, for a terminal.</summary>
public static class SparesText
{
    public static IEnumerable<string> Lines(SparesView spares, int most, Ink ink)
    {
        yield return ink.Strong($"Spares for {spares.Tube}, {spares.Type ?? "of unknown type"}");
        var kept = new TextTable(("to be kept", false), ("its own", true), ("from", true), ("to", true));
        foreach (var k in spares.Kept)
            kept.Row(k.Quantity.Word, FigureText.Scaled(k.Own), Value(k.Lowest, k.Quantity.Unit), Value(k.Highest, k.Quantity.Unit));
        foreach (var line in kept.Lines(ink)) yield return line;
        yield return "";
        if (spares.Spares.Length == 0)
        {
            yield return "No free tube of the type is measured in all of these.";
        }
        else
        {
            var table = new TextTable(("tube", false), ("where", false), ("keeps all", false), ("probability", true), ("because", false));
            foreach (var spare in spares.Spares.Take(most))
                table.Row(spare.Tube, spare.Location ?? spare.Lot, Words(spare.Decision), Probability(spare), string.Join("; ", spare.Says));
            foreach (var line in table.Lines(ink)) yield return line;
            if (spares.Spares.Length > most) yield return $"{spares.Spares.Length - most} more: --most shows them.";
            var sure = spares.Spares.Count(s => s.Decision == "accept");
            yield return sure == 0 ? "None is sure to keep all of it." : $"{sure} {(sure == 1 ? "is" : "are")} sure to keep all of it, guard band included.";
        }
        if (spares.NotMeasured.Length > 0) yield return $"Not measured in all of this: {string.Join(", ", spares.NotMeasured)}.";
        foreach (var remark in spares.Remarks) yield return remark;
    }

    private static string Words(string decision) => decision switch
    {
        "accept" => "yes",
        "undecided" => "perhaps",
        _ => "no",
    };

    // However errors hang together, the probability lies between the two; where they round to the same one number says it.
    private static string Probability(SpareView spare)
    {
        if (spare.Probably is not { } probably) return "";
        var (low, high) = (Percent(spare.AtLeast!.Value), Percent(spare.AtMost!.Value));
        return low == high ? $"{low} %" : $"{Percent(probably)} % ({low} to {high})";
    }

    private static string Percent(double part) => (100 * part).ToString(part is > 0.995 and < 0.99995 or > 0.00005 and < 0.005 ? "0.0" : "0", CultureInfo.InvariantCulture);

    private static string Value(double? value, string unit) => value is { } v ? Engineering.Figure(v, unit, 3) : "";
}
