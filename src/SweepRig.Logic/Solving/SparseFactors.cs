namespace SweepRig.Logic.Solving;

/// <summary>
/// Order and places for eliminating matrices of one pattern, worked out once: factors and solutions then cost only the arithmetic on what is not zero.
/// Pivots are taken on the diagonal in an order that fills in little (Markowitz 1957, Management Science 3, 255, from memory). Immutable.
/// </summary>
internal sealed partial class SparseFactors
{
    private readonly Dictionary<(int Row, int Column), int> _places = [];
    private readonly int[] _order, _diagonal;
    private readonly int[] _lowStart, _lowRow, _lowPlace, _upStart, _upColumn, _upPlace, _target, _targetStart;

    /// <param name="size">Rows and columns.</param>
    /// <param name="pattern">Places that may be other than zero.</param>
    /// <param name="last">Unknowns that are eliminated after all others: those whose equations change while the others' stay.</param>
    public SparseFactors(int size, IEnumerable<(int Row, int Column)> pattern, IReadOnlySet<int> last)
    {
        Size = size;
        Changing = size - last.Count;
        var rows = Enumerable.Range(0, size).Select(_ => new HashSet<int>()).ToArray();
        var columns = Enumerable.Range(0, size).Select(_ => new HashSet<int>()).ToArray();
        void Fill(int row, int column)
        {
            if (_places.TryAdd((row, column), _places.Count))
            {
                rows[row].Add(column);
                columns[column].Add(row);
            }
        }

        foreach (var (row, column) in pattern) Fill(row, column);
        var left = Enumerable.Range(0, size).ToHashSet();
        _order = new int[size];
        List<int> lowStart = [0], lowRow = [], lowPlace = [], upStart = [0], upColumn = [], upPlace = [], target = [], targetStart = [];
        for (var step = 0; step < size; step++)
        {
            // A row without a diagonal (the current of a source) has none until a neighbour has filled it in.
            var pivot = left.OrderBy(i => last.Contains(i) ? 1 : 0).ThenBy(i => _places.ContainsKey((i, i)) ? 0 : 1)
                .ThenBy(i => (long)(columns[i].Count(left.Contains) - 1) * (rows[i].Count(left.Contains) - 1)).ThenBy(i => i).First();
            Fill(pivot, pivot);
            left.Remove(pivot);
            _order[step] = pivot;
            int[] below = [.. columns[pivot].Where(left.Contains).Order()], right = [.. rows[pivot].Where(left.Contains).Order()];
            foreach (var column in right)
            {
                upColumn.Add(column);
                upPlace.Add(_places[(pivot, column)]);
            }
            foreach (var row in below)
            {
                lowRow.Add(row);
                lowPlace.Add(_places[(row, pivot)]);
                targetStart.Add(target.Count);
                foreach (var column in right)
                {
                    Fill(row, column);
                    target.Add(_places[(row, column)]);
                }
            }
            lowStart.Add(lowRow.Count);
            upStart.Add(upColumn.Count);
        }
        _diagonal = [.. _order.Select(i => _places[(i, i)])];
        (_lowStart, _lowRow, _lowPlace) = ([.. lowStart], [.. lowRow], [.. lowPlace]);
        (_upStart, _upColumn, _upPlace) = ([.. upStart], [.. upColumn], [.. upPlace]);
        (_target, _targetStart) = ([.. target], [.. targetStart]);
    }

    public int Size { get; }

    /// <summary>The step of the elimination at which the last unknowns begin.</summary>
    public int Changing { get; }

    /// <summary>Values to reserve: one a place, and the spare one.</summary>
    public int Count => _places.Count + 1;

    /// <summary>A place that no solution reads.</summary>
    public int Spare => _places.Count;

    public int At(int row, int column) => _places[(row, column)];

    /// <summary>Replaces the values by their factors.</summary>
    /// <param name="values">One a place.</param>
    /// <param name="sign">Of the determinant: 1, -1, or 0 when a pivot vanished.</param>
    /// <returns>False when a pivot vanished or is no number; the values are then of no use.</returns>
    public bool Factor(double[] values, out int sign)
    {
        sign = 1;
        for (var step = 0; step < Size; step++)
        {
            var pivot = values[_diagonal[step]];
            if (pivot == 0 || !double.IsFinite(pivot))
            {
                sign = 0;
                return false;
            }
            if (pivot < 0) sign = -sign;
            int from = _upStart[step], to = _upStart[step + 1];
            for (var low = _lowStart[step]; low < _lowStart[step + 1]; low++)
            {
                ref var entry = ref values[_lowPlace[low]];
                if (entry == 0) continue;
                var part = entry /= pivot;
                var at = _targetStart[low];
                for (var up = from; up < to; up++) values[_target[at++]] -= part * values[_upPlace[up]];
            }
        }
        return true;
    }

    /// <summary>Solves with factored values; the right-hand side becomes the solution.</summary>
    public void Solve(double[] values, Span<double> side)
    {
        for (var step = 0; step < Size; step++)
        {
            var known = side[_order[step]];
            if (known == 0) continue;
            for (var low = _lowStart[step]; low < _lowStart[step + 1]; low++) side[_lowRow[low]] -= values[_lowPlace[low]] * known;
        }
        for (var step = Size - 1; step >= 0; step--)
        {
            var sum = side[_order[step]];
            for (var up = _upStart[step]; up < _upStart[step + 1]; up++) sum -= values[_upPlace[up]] * side[_upColumn[up]];
            side[_order[step]] = sum / values[_diagonal[step]];
        }
    }

    /// <summary>The matrix in full, rows one after the other, for what looks at it seldom.</summary>
    public double[,] Dense(double[] values)
    {
        var dense = new double[Size, Size];
        foreach (var ((row, column), place) in _places) dense[row, column] = values[place];
        return dense;
    }
}
