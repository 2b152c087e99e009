using System.Numerics;

namespace SweepRig.Logic.Solving;

/// <summary>The same for several matrices of the pattern at once, one in each lane of the processor.</summary>
internal sealed partial class SparseFactors
{
    /// <summary>Replaces the values by their factors. A pivot that vanishes leaves numbers that are not finite in its lane.</summary>
    /// <param name="values">One a place; those of the diagonal become their inverses.</param>
    public void Factor(Vector<double>[] values)
    {
        for (var step = 0; step < Size; step++)
        {
            ref var pivot = ref values[_diagonal[step]];
            pivot = Vector<double>.One / pivot;
            int from = _upStart[step], to = _upStart[step + 1];
            for (var low = _lowStart[step]; low < _lowStart[step + 1]; low++)
            {
                ref var entry = ref values[_lowPlace[low]];
                var part = entry *= pivot;
                var at = _targetStart[low];
                for (var up = from; up < to; up++) values[_target[at++]] -= part * values[_upPlace[up]];
            }
        }
    }

    /// <summary>Solves with factored values; the right-hand side becomes the solution.</summary>
    public void Solve(Vector<double>[] values, Vector<double>[] side)
    {
        for (var step = 0; step < Size; step++)
        {
            var known = side[_order[step]];
            for (var low = _lowStart[step]; low < _lowStart[step + 1]; low++) side[_lowRow[low]] -= values[_lowPlace[low]] * known;
        }
        for (var step = Size - 1; step >= 0; step--)
        {
            var sum = side[_order[step]];
            for (var up = _upStart[step]; up < _upStart[step + 1]; up++) sum -= values[_upPlace[up]] * side[_upColumn[up]];
            side[_order[step]] = sum * values[_diagonal[step]];
        }
    }
}
