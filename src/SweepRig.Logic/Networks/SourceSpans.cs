namespace SweepRig.Logic.Networks;

/// <summary>How far apart the nodes are that sources join, at the worst moment of each source.</summary>
internal static class SourceSpans
{
    /// <param name="Low">Lowest voltage against the first node of the group.</param>
    /// <param name="High">Highest.</param>
    /// <param name="At">The nodes, for people.</param>
    public readonly record struct Span(double Low, double High, string At);

    public static IEnumerable<Span> Of(Network network)
    {
        var sources = network.Parts.OfType<Source>().ToList();
        var at = new Dictionary<string, (double Low, double High)>(StringComparer.Ordinal);
        foreach (var first in sources.Select(s => s.Minus).Prepend(Network.Ground).Distinct(StringComparer.Ordinal).ToList())
        {
            if (at.ContainsKey(first)) continue;
            at[first] = (0, 0);
            List<string> group = [first];
            for (var n = 0; n < group.Count; n++)
            {
                foreach (var source in sources)
                {
                    var (low, high) = (source.Volts.Corners.Min(c => c.Volts), source.Volts.Corners.Max(c => c.Volts));
                    if (source.Minus == group[n]) Reach(source.Plus, at[group[n]].Low + low, at[group[n]].High + high);
                    else if (source.Plus == group[n]) Reach(source.Minus, at[group[n]].Low - high, at[group[n]].High - low);
                }
            }
            yield return new(group.Min(n => at[n].Low), group.Max(n => at[n].High), string.Join(", ", group.Skip(1)));

            void Reach(string node, double low, double high)
            {
                if (!at.TryAdd(node, (low, high))) return;
                group.Add(node);
            }
        }
    }
}
