using SweepRig.Domain;
using SweepRig.Domain.Stock;
using SweepRig.Service.Contract;

namespace SweepRig.Service.Api;

/// <summary>What is wrong with requests about the stock before the stock is asked.</summary>
public static class StockFaults
{
    private const int LongestType = 20;

    public static IReadOnlyDictionary<string, TubeChangeKind> Changes { get; } = new Dictionary<string, TubeChangeKind>(StringComparer.Ordinal)
    {
        ["identify"] = TubeChangeKind.Identified,
        ["move"] = TubeChangeKind.Moved,
        ["use"] = TubeChangeKind.PutToUse,
        ["free"] = TubeChangeKind.TakenOut,
        ["retire"] = TubeChangeKind.Retired,
        ["return"] = TubeChangeKind.Returned,
        ["note"] = TubeChangeKind.Noted,
    };

    public static IReadOnlyList<Refusal> Book(BookTubesRequest request) =>
        [.. Line("/type", request.Type, LongestType, "Give the registered designation."), .. Line("/place", request.Place, TubeChange.LongestText, "Make it shorter, or leave it out.")];

    public static IReadOnlyList<Refusal> Change(ChangeTubeRequest request) => Changes.ContainsKey(request.Change)
        ? request.Change == "identify" ? [.. Line("/text", request.Text, LongestType, "Give the registered designation.")] : []
        : [new("change-not-understood", "/change", $"change \"{request.Change}\"", $"one of {string.Join(", ", Changes.Keys)}", "Write one of these.")];

    public static IReadOnlyList<Refusal> State(string? state) => state is null || StockWords.States.Contains(state, StringComparer.OrdinalIgnoreCase)
        ? []
        : [new("state-not-understood", "/state", $"state \"{state}\"", $"one of {string.Join(", ", StockWords.States)}", "Leave it out for all.")];

    private static IEnumerable<Refusal> Line(string path, string? text, int longest, string remedy)
    {
        if (text is not null && (text.Length > longest || text.Any(char.IsControl)))
            yield return new("bad-text", path, $"{path[1..]} has {text.Length} characters", $"one line of up to {longest} characters is allowed", remedy);
    }
}
