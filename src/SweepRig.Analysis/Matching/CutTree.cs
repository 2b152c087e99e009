namespace SweepRig.Analysis.Matching;

/// <summary>Least cuts between all places of a weighted graph, as a tree (Gomory and Hu 1961; made as Gusfield 1990, SIAM J. Computing 19, 143; from memory).</summary>
/// <remarks>
/// Among the cuts that the edges of the tree stand for is a least one of all those with an odd number of places on each side, every place being counted
/// (Padberg and Rao 1982).
/// </remarks>
internal sealed class CutTree
{
    private readonly int _count;
    private readonly int[] _parent;

    public CutTree(int count, IReadOnlyList<(int First, int Second, double Part)> edges)
    {
        _count = count;
        _parent = new int[count];
        var flow = new LeastCut(count, edges);
        for (var s = 1; s < count; s++)
        {
            var t = _parent[s];
            var side = flow.Between(s, t).Side;
            for (var i = 0; i < count; i++)
                if (i != s && side[i] && _parent[i] == t) _parent[i] = s;
            if (side[_parent[t]]) (_parent[s], _parent[t]) = (_parent[t], s);
        }
    }

    /// <summary>The parts that the tree falls into when one edge is taken away, those with an odd number of places.</summary>
    public IEnumerable<bool[]> OddSets()
    {
        for (var v = 1; v < _count; v++)
        {
            var below = new bool[_count];
            for (var i = 0; i < _count; i++) below[i] = IsBelow(i, v);
            if (below.Count(b => b) % 2 == 1) yield return below;
        }
    }

    private bool IsBelow(int i, int v)
    {
        while (i != v && i != 0) i = _parent[i];
        return i == v;
    }
}
