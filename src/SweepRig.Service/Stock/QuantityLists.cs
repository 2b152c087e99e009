using System.Globalization;
using SweepRig.Analysis;
using SweepRig.Analysis.Matching;
using SweepRig.Domain;
using SweepRig.Domain.Tubes;
using SweepRig.Service.Live;

namespace SweepRig.Service.Stock;

/// <summary>Lists of quantities as people type them and queries hold them: words with commas between, each with what goes with it behind an equals sign. Pure.</summary>
public static class QuantityLists
{
    /// <summary>Most in one list.</summary>
    public const int Most = 20;

    /// <summary>Difference from the tube replaced that is let pass where nobody states one: so much of its value, or so many volts; a choice of this program.</summary>
    public const double UsualPart = 0.1, UsualVolts = 0.25;

    /// <summary>Words alone, for example <c>pentode.vol,health.noise</c>.</summary>
    public static Outcome<IReadOnlyList<NamedQuantity>> Names(IEnumerable<string> lists, string path) =>
        Read(lists, path, (q, value) => value is null ? Outcome<NamedQuantity>.Accept(q) : Fault<NamedQuantity>(path, $"{q.Word}={value}", "a word alone is needed here", "Leave out what stands behind it."));

    /// <summary>Each with a tolerance, or without, for example <c>pentode.vol=0.2</c>.</summary>
    public static Outcome<IReadOnlyList<MatchQuantity>> Matched(IEnumerable<string> lists, string path) => Read(lists, path, (q, value) =>
    {
        if (value is null) return Outcome<MatchQuantity>.Accept(new(q.Word));
        return Number(value) is > 0 and var tolerance
            ? Outcome<MatchQuantity>.Accept(new(q.Word, tolerance))
            : Fault<MatchQuantity>(path, $"the tolerance \"{value}\" of {q.Word}", $"a number above 0 is needed, in {Unit(q)}", $"Write {q.Word}=0.2, or {q.Word} alone for the uncertainty of the difference.");
    });

    /// <summary>Each with a tolerance about the tube replaced (<c>pentode.vol=0.2</c>), limits (<c>pentode.vol=1..3</c>, <c>..3</c>, <c>1..</c>), or neither for the usual tolerance.</summary>
    /// <param name="lists">As typed.</param>
    /// <param name="path">Of the request, for refusals.</param>
    /// <param name="own">Figures of the tube replaced, for tolerances that are a part of its value.</param>
    public static Outcome<IReadOnlyList<KeptQuantity>> Kept(IEnumerable<string> lists, string path, IReadOnlyDictionary<string, Figure> own) => Read(lists, path, (q, value) =>
    {
        if (value is null) return Outcome<KeptQuantity>.Accept(new(q, null, null, q.Unit == "V" ? UsualVolts : UsualPart * Math.Abs(own.GetValueOrDefault(q.Word)?.Value ?? 0)));
        var ends = value.Split("..", 2);
        if (ends.Length == 1)
        {
            return Number(value) is > 0 and var tolerance
                ? Outcome<KeptQuantity>.Accept(new(q, null, null, tolerance))
                : Fault<KeptQuantity>(path, $"the tolerance \"{value}\" of {q.Word}", $"a number above 0 is needed, in {Unit(q)}", $"Write {q.Word}=0.2, or limits: {q.Word}=1..3.");
        }
        var (low, high) = (Number(ends[0]), Number(ends[1]));
        if ((ends[0].Length > 0 && low is null) || (ends[1].Length > 0 && high is null) || (low is null && high is null))
            return Fault<KeptQuantity>(path, $"the limits \"{value}\" of {q.Word}", $"one number or two are needed, in {Unit(q)}", $"Write {q.Word}=1..3, {q.Word}=..3 or {q.Word}=1..");
        return low >= high
            ? Fault<KeptQuantity>(path, $"the limits {value} of {q.Word}", "the lowest must be below the highest", "Turn them round.")
            : Outcome<KeptQuantity>.Accept(new(q, low, high, null));
    });

    /// <summary>A connection whose curves are compared, for example <c>pentode</c>, or with a tolerance in volts <c>pentode=0.2</c>.</summary>
    public static Outcome<CurveChoice> Curve(string text, string path)
    {
        var parts = text.Split('=', 2, StringSplitOptions.TrimEntries);
        foreach (var kind in Enum.GetValues<ConnectionKind>())
        {
            if (!string.Equals(parts[0], BenchViews.Word(kind), StringComparison.OrdinalIgnoreCase)) continue;
            if (parts.Length == 1) return Outcome<CurveChoice>.Accept(new(kind, null));
            return Number(parts[1]) is > 0 and var tolerance
                ? Outcome<CurveChoice>.Accept(new(kind, tolerance))
                : Fault<CurveChoice>(path, $"the tolerance \"{parts[1]}\"", "a number of volts above 0 is needed", $"Write {parts[0]}=0.2, or {parts[0]} alone for the uncertainty of the difference.");
        }
        return Fault<CurveChoice>(path, $"the curves \"{parts[0]}\"", $"{string.Join(" or ", Enum.GetValues<ConnectionKind>().Select(BenchViews.Word))} is needed", "Name the connection that they were swept in.");
    }

    private static Outcome<IReadOnlyList<T>> Read<T>(IEnumerable<string> lists, string path, Func<NamedQuantity, string?, Outcome<T>> read)
        where T : class
    {
        var (found, faults) = (new List<T>(), new List<Refusal>());
        var seen = new HashSet<string>(StringComparer.Ordinal);
        foreach (var item in lists.SelectMany(l => l.Split(',', StringSplitOptions.TrimEntries | StringSplitOptions.RemoveEmptyEntries)))
        {
            var parts = item.Split('=', 2, StringSplitOptions.TrimEntries);
            var quantity = StockQuantities.Find(parts[0], path);
            if (quantity.IsAccepted && !seen.Add(quantity.Value.Word)) quantity = Fault<NamedQuantity>(path, $"{quantity.Value.Word}, twice", "each quantity may stand once", "Leave one out.");
            var one = quantity.IsAccepted ? read(quantity.Value, parts.Length == 2 ? parts[1] : null) : Outcome<T>.Refuse(quantity.Refusals);
            if (one.IsAccepted) found.Add(one.Value);
            else faults.AddRange(one.Refusals);
        }
        if (faults.Count == 0 && found.Count is 0 or > Most)
            faults.Add(new("bad-list", path, $"{found.Count} quantities", $"1 to {Most} are needed", found.Count == 0 ? "Name one, or leave the list out for the usual ones." : "Leave some out."));
        return faults.Count > 0 ? Outcome<IReadOnlyList<T>>.Refuse(faults) : Outcome<IReadOnlyList<T>>.Accept(found);
    }

    private static double? Number(string text) => double.TryParse(text, NumberStyles.Float, CultureInfo.InvariantCulture, out var number) && double.IsFinite(number) ? number : null;

    private static string Unit(NamedQuantity quantity) => quantity.Unit == "1" ? "no unit" : quantity.Unit;

    private static Outcome<T> Fault<T>(string path, string asked, string allowed, string remedy)
        where T : class => Outcome<T>.Refuse(new Refusal("bad-quantity", path, asked, allowed, remedy));
}

/// <summary>Whole curves that tubes are to be alike in.</summary>
/// <param name="Connection">In which they were swept.</param>
/// <param name="Tolerance">Difference of the outputs that counts as 1, volts; null for its uncertainty.</param>
public sealed record CurveChoice(ConnectionKind Connection, double? Tolerance);
