namespace SweepRig.Analysis.Matching;

/// <summary>
/// As many pairs as a graph allows, by augmenting paths in which odd cycles are shrunk (Edmonds 1965, Canadian J. Mathematics 17, 449). When no path is left over
/// no matching has more pairs (Berge 1957).
/// </summary>
internal sealed class GreatestMatching
{
    private const int None = -1;

    private readonly int[][] _neighbours;
    private readonly int[] _mates, _parent, _base;
    private readonly bool[] _seen, _inBlossom;
    private readonly Queue<int> _queue = new();

    /// <param name="count">Places.</param>
    /// <param name="neighbours">Of each place those that it may be paired with; the same both ways.</param>
    /// <param name="start">A pairing to begin from; pairs of it that the graph does not have are dropped.</param>
    /// <param name="cancellationToken">Ends the search; thrown as usual.</param>
    public GreatestMatching(int count, int[][] neighbours, int[] start, CancellationToken cancellationToken)
    {
        _neighbours = neighbours;
        (_mates, _parent, _base) = (new int[count], new int[count], new int[count]);
        (_seen, _inBlossom) = (new bool[count], new bool[count]);
        for (var i = 0; i < count; i++) _mates[i] = start[i] != None && neighbours[i].Contains(start[i]) ? start[i] : None;
        IsPerfect = true;
        // A place from which no path leads now will not find one later either.
        for (var i = 0; i < count && IsPerfect; i++)
        {
            cancellationToken.ThrowIfCancellationRequested();
            if (_mates[i] == None) IsPerfect = Augment(i);
        }
    }

    /// <summary>True when every place has a mate; when not, the search has ended at the first place that can have none.</summary>
    public bool IsPerfect { get; }

    public int[] Mates => _mates;

    private bool Augment(int root)
    {
        Array.Fill(_parent, None);
        Array.Fill(_seen, false);
        for (var i = 0; i < _base.Length; i++) _base[i] = i;
        _queue.Clear();
        _queue.Enqueue(root);
        _seen[root] = true;
        while (_queue.TryDequeue(out var v))
            foreach (var to in _neighbours[v])
            {
                if (_base[v] == _base[to] || _mates[v] == to) continue;
                if (to == root || (_mates[to] != None && _parent[_mates[to]] != None)) Shrink(v, to);
                else if (_parent[to] == None)
                {
                    _parent[to] = v;
                    if (_mates[to] == None)
                    {
                        Flip(to);
                        return true;
                    }
                    _seen[_mates[to]] = true;
                    _queue.Enqueue(_mates[to]);
                }
            }
        return false;
    }

    private void Flip(int end)
    {
        for (var v = end; v != None;)
        {
            var before = _parent[v];
            var next = _mates[before];
            (_mates[v], _mates[before]) = (before, v);
            v = next;
        }
    }

    private void Shrink(int v, int to)
    {
        var stem = CommonBase(v, to);
        Array.Fill(_inBlossom, false);
        Mark(v, stem, to);
        Mark(to, stem, v);
        for (var i = 0; i < _base.Length; i++)
        {
            if (!_inBlossom[_base[i]]) continue;
            _base[i] = stem;
            if (_seen[i]) continue;
            _seen[i] = true;
            _queue.Enqueue(i);
        }
    }

    private void Mark(int v, int stem, int child)
    {
        while (_base[v] != stem)
        {
            _inBlossom[_base[v]] = _inBlossom[_base[_mates[v]]] = true;
            _parent[v] = child;
            child = _mates[v];
            v = _parent[child];
        }
    }

    private int CommonBase(int a, int b)
    {
        var onWay = new bool[_base.Length];
        while (true)
        {
            a = _base[a];
            onWay[a] = true;
            if (_mates[a] == None) break;
            a = _parent[_mates[a]];
        }
        while (true)
        {
            b = _base[b];
            if (onWay[b]) return b;
            b = _parent[_mates[b]];
        }
    }
}
