using System.Numerics;
using System.Runtime.CompilerServices;
using System.Runtime.InteropServices;

namespace SweepRig.Logic.Solving;

/// <summary>The same for several matrices of the pattern at once, one in each lane of the processor, and for part of the steps at a time.</summary>
internal sealed partial class SparseFactors
{
    /// <summary>Unknowns in the order of their elimination.</summary>
    public ReadOnlySpan<int> Order => _order;

    /// <summary>Replaces the values by their factors. A pivot that vanishes leaves numbers that are not finite in its lane.</summary>
    /// <param name="values">One a place; those of the diagonal become their inverses.</param>
    /// <param name="first">First step.</param>
    /// <param name="end">The step after the last.</param>
    public void Factor(Vector<double>[] values, int first, int end)
    {
        ref var value = ref Reference(values, Count);
        ref var target = ref MemoryMarshal.GetArrayDataReference(_target);
        ref var upPlace = ref MemoryMarshal.GetArrayDataReference(_upPlace);
        for (var step = first; step < end; step++)
        {
            ref var pivot = ref Unsafe.Add(ref value, _diagonal[step]);
            var inverse = pivot = Vector<double>.One / pivot;
            int from = _upStart[step], to = _upStart[step + 1];
            for (var low = _lowStart[step]; low < _lowStart[step + 1]; low++)
            {
                ref var entry = ref Unsafe.Add(ref value, _lowPlace[low]);
                var part = entry *= inverse;
                var at = _targetStart[low];
                for (var up = from; up < to; up++) Unsafe.Add(ref value, Unsafe.Add(ref target, at++)) -= part * Unsafe.Add(ref value, Unsafe.Add(ref upPlace, up));
            }
        }
    }

    /// <summary>First half of a solution with factored values: takes what the steps know out of the rows that come later.</summary>
    public void Forward(Vector<double>[] values, Vector<double>[] side, int first, int end)
    {
        ref var value = ref Reference(values, Count);
        ref var row = ref Reference(side, Size);
        ref var lowRow = ref MemoryMarshal.GetArrayDataReference(_lowRow);
        ref var lowPlace = ref MemoryMarshal.GetArrayDataReference(_lowPlace);
        for (var step = first; step < end; step++)
        {
            var known = Unsafe.Add(ref row, _order[step]);
            var to = _lowStart[step + 1];
            for (var low = _lowStart[step]; low < to; low++) Unsafe.Add(ref row, Unsafe.Add(ref lowRow, low)) -= Unsafe.Add(ref value, Unsafe.Add(ref lowPlace, low)) * known;
        }
    }

    /// <summary>Second half, from the last of the steps to the first: the right-hand side becomes the solution.</summary>
    public void Backward(Vector<double>[] values, Vector<double>[] side, int first, int end)
    {
        ref var value = ref Reference(values, Count);
        ref var row = ref Reference(side, Size);
        ref var upColumn = ref MemoryMarshal.GetArrayDataReference(_upColumn);
        ref var upPlace = ref MemoryMarshal.GetArrayDataReference(_upPlace);
        for (var step = end - 1; step >= first; step--)
        {
            ref var own = ref Unsafe.Add(ref row, _order[step]);
            var (sum, to) = (own, _upStart[step + 1]);
            for (var up = _upStart[step]; up < to; up++) sum -= Unsafe.Add(ref value, Unsafe.Add(ref upPlace, up)) * Unsafe.Add(ref row, Unsafe.Add(ref upColumn, up));
            own = sum * Unsafe.Add(ref value, _diagonal[step]);
        }
    }

    /// <summary>True when the determinant is above 0 in every lane.</summary>
    /// <param name="values">Factored from the first step to the last.</param>
    public bool IsPositive(Vector<double>[] values)
    {
        var signs = Vector<long>.Zero;
        foreach (var place in _diagonal) signs ^= Vector.AsVectorInt64(values[place]);
        return Vector.GreaterThanOrEqualAll(signs, Vector<long>.Zero);
    }

    // Every place and row was given out by the constructor, for arrays of this length: without looking at each again it takes half the time.
    private static ref Vector<double> Reference(Vector<double>[] array, int least)
    {
        ArgumentOutOfRangeException.ThrowIfLessThan(array.Length, least);
        return ref MemoryMarshal.GetArrayDataReference(array);
    }
}
