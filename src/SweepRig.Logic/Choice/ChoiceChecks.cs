using SweepRig.Domain;

namespace SweepRig.Logic.Choice;

/// <summary>What is wrong with an order before anything is solved.</summary>
internal static class ChoiceChecks
{
    private const int MostNamed = 5;

    public static IReadOnlyList<Refusal> Find(ChoiceOrder order)
    {
        var faults = new List<Refusal>();
        var positions = order.Network.Positions;
        var stock = new Dictionary<string, ChoiceTube>(StringComparer.OrdinalIgnoreCase);
        foreach (var tube in order.Stock)
        {
            if (stock.TryAdd(tube.Number, tube)) continue;
            faults.Add(new("tube-listed-twice", "", $"tube {tube.Number} is twice among the tubes to choose from", "each tube can be used once", "Name it once."));
        }
        var placed = new Dictionary<string, string>(StringComparer.OrdinalIgnoreCase);
        foreach (var (position, number) in order.Pinned)
        {
            if (!positions.Contains(position))
                faults.Add(new("no-such-position", "", $"tube {number} is to stand at {position}", $"{order.Network.Name} has the positions {string.Join(", ", positions)}", "Name one of them."));
            if (!placed.TryAdd(number, position))
                faults.Add(new("tube-used-twice", "", $"tube {number} is to stand at {placed[number]} and at {position}", "a tube can be at one position only", "Take another tube for one of them."));
            if (!stock.TryGetValue(number, out var tube)) faults.Add(Unknown(number));
            else if (tube.Part is null)
                faults.Add(new("no-model", "", $"tube {number}, which is to stand at {position}, has no model", "a network is reckoned from the constants of its tubes", Remedy(tube)));
            if (order.Forbidden.Contains(number, StringComparer.OrdinalIgnoreCase))
                faults.Add(new("pinned-and-forbidden", "", $"tube {number} is to stand at {position} and is not to be taken", "one excludes the other", "Take back one of them."));
        }
        faults.AddRange(order.Forbidden.Where(n => !stock.ContainsKey(n)).Select(Unknown));
        if (faults.Count == 0 && Shortage(order, positions.Count) is { } shortage) faults.Add(shortage);
        return faults;
    }

    /// <summary>The sweep that gives a tube its model.</summary>
    public static string Remedy(ChoiceTube tube) => tube.Remedy ?? $"Sweep it in the connection it is to have: sweeprig sweep gentle-pentode --tube {tube.Number}.";

    private static Refusal Unknown(string number) => new("no-such-tube", "", $"tube {number} is named", "it is not among the tubes to choose from", "Book it in, or correct the number.");

    private static Refusal? Shortage(ChoiceOrder order, int positions)
    {
        var usable = order.Stock.Where(t => t.Part is not null && !order.Forbidden.Contains(t.Number, StringComparer.OrdinalIgnoreCase)).ToList();
        if (usable.Count >= positions) return null;
        string[] without = [.. order.Stock.Where(t => t.Part is null).Select(t => t.Number)];
        var more = without.Length == 0
            ? "Book more tubes in and sweep them, or forbid fewer."
            : $"Sweep {string.Join(", ", without.Take(MostNamed))}{(without.Length > MostNamed ? $" and {without.Length - MostNamed} more" : "")}, which have no model yet.";
        return new("too-few-tubes", "", $"{order.Network.Name} has {positions} positions, and {usable.Count} tubes can be used", $"{positions} tubes with a model are needed", more);
    }
}
