namespace SweepRig.Analysis.Matching;

/// <summary>Least cut between two places of an undirected weighted graph, by the greatest flow (Dinic 1970; from memory).</summary>
internal sealed class LeastCut
{
    private const double Nothing = 1e-9;

    private readonly int _count;
    private readonly int[] _first, _next, _to, _level, _at;
    private readonly double[] _whole, _left;

    public LeastCut(int count, IReadOnlyList<(int First, int Second, double Part)> edges)
    {
        _count = count;
        (_first, _level, _at) = (new int[count], new int[count], new int[count]);
        Array.Fill(_first, -1);
        (_next, _to, _whole, _left) = (new int[2 * edges.Count], new int[2 * edges.Count], new double[2 * edges.Count], new double[2 * edges.Count]);
        for (var e = 0; e < edges.Count; e++)
        {
            var (i, j, part) = edges[e];
            Put(2 * e, i, j, part);
            Put(2 * e + 1, j, i, part);
        }
    }

    /// <returns>Weight of the cut, and for each place whether it lies on the side of the source.</returns>
    public (double Value, bool[] Side) Between(int source, int sink)
    {
        _whole.CopyTo(_left, 0);
        double value = 0;
        while (Levels(source, sink))
        {
            _first.CopyTo(_at, 0);
            while (Push(source, sink, double.PositiveInfinity) is > Nothing and var pushed) value += pushed;
        }
        return (value, Array.ConvertAll(_level, l => l >= 0));
    }

    private void Put(int edge, int from, int to, double part)
    {
        (_to[edge], _whole[edge], _next[edge]) = (to, part, _first[from]);
        _first[from] = edge;
    }

    private bool Levels(int source, int sink)
    {
        Array.Fill(_level, -1);
        _level[source] = 0;
        Queue<int> queue = new(_count);
        queue.Enqueue(source);
        while (queue.TryDequeue(out var i))
            for (var e = _first[i]; e >= 0; e = _next[e])
            {
                if (_left[e] <= Nothing || _level[_to[e]] >= 0) continue;
                _level[_to[e]] = _level[i] + 1;
                queue.Enqueue(_to[e]);
            }
        return _level[sink] >= 0;
    }

    // Paths are at most as long as there are places, and those of a lot do not exhaust the stack.
    private double Push(int i, int sink, double most)
    {
        if (i == sink) return most;
        for (; _at[i] >= 0; _at[i] = _next[_at[i]])
        {
            var e = _at[i];
            if (_left[e] <= Nothing || _level[_to[e]] != _level[i] + 1) continue;
            var pushed = Push(_to[e], sink, Math.Min(most, _left[e]));
            if (pushed <= Nothing) continue;
            _left[e] -= pushed;
            _left[e ^ 1] += pushed;
            return pushed;
        }
        return 0;
    }
}
