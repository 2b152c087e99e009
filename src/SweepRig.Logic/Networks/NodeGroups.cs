namespace SweepRig.Logic.Networks;

/// <summary>Nodes that hang together (union and find; Tarjan 1975, J. ACM 22, 215).</summary>
internal sealed class NodeGroups
{
    private readonly Dictionary<string, string> _above = new(StringComparer.Ordinal);

    /// <returns>False when they hung together before.</returns>
    public bool Join(string a, string b)
    {
        var (top, other) = (Top(a), Top(b));
        if (top == other) return false;
        _above[top] = other;
        return true;
    }

    public bool Together(string a, string b) => Top(a) == Top(b);

    private string Top(string node)
    {
        while (_above.TryGetValue(node, out var above)) node = above;
        return node;
    }
}
