using System.Globalization;
using SweepRig.Service.Cli.Terminal;
using SweepRig.Service.Contract;

namespace SweepRig.Service.Cli.Rendering;

/// <summary>Pairs and groups of a lot, for a terminal.</summary>
public static class MatchText
{
    public static IEnumerable<string> Lines(PairingView pairing, Ink ink)
    {
        var table = new TextTable([("pair", false), ("", false), ("unlike by", true), ("why", false)]);
        foreach (var pair in pairing.Pairs) table.Row(pair.First, pair.Second, Number(pair.Distance), pair.Says);
        foreach (var line in table.Lines(ink)) yield return line;
        yield return $"Unlike by: {pairing.Scale}.";
        if (pairing.WorstProven) yield return $"In no other pairing is the pair least alike nearer than {Number(pairing.Worst)}: proven.";
        yield return Proof("pairing", pairing.ProvenBest, pairing.Total, pairing.Bound, pairing.WorstProven ? " among those" : "");
        if (pairing.LeftOver is { } left) yield return $"Left over: {left}.";
        foreach (var line in Rest(pairing.NotMeasured, pairing.Remarks)) yield return line;
    }

    public static IEnumerable<string> Lines(GroupingView grouping, Ink ink)
    {
        var table = new TextTable([("group", false), ("sum", true), ("worst pair", true), ("why", false)]);
        foreach (var group in grouping.Groups) table.Row(string.Join(' ', group.Tubes), Number(group.Sum), Number(group.Worst), group.Says);
        foreach (var line in table.Lines(ink)) yield return line;
        yield return $"Sum: over all pairs of a group of how unlike they are, which is the {grouping.Scale}.";
        yield return Proof("grouping", grouping.ProvenBest, grouping.Total, grouping.Bound, "");
        if (grouping.LeftOver.Length > 0) yield return $"Left over: {string.Join(", ", grouping.LeftOver)}.";
        foreach (var line in Rest(grouping.NotMeasured, grouping.Remarks)) yield return line;
    }

    private static string Proof(string what, bool proven, double total, double bound, string among) => proven
        ? $"No other {what}{among} has a smaller sum ({Number(total)}): proven."
        : $"Not proven the best: no {what}{among} has a sum below {Number(bound)}, this has {Number(total)}.";

    private static IEnumerable<string> Rest(string[] notMeasured, string[] remarks)
    {
        if (notMeasured.Length > 0) yield return $"Not measured in all of this: {string.Join(", ", notMeasured)}.";
        foreach (var remark in remarks) yield return remark;
    }

    private static string Number(double value) => value.ToString("0.00", CultureInfo.InvariantCulture);
}
