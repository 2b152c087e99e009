namespace SweepRig.Analysis.Fitting;

/// <summary>
/// Step of a linear model between bounds: p within [low, high] that makes |q + R p|^2 + lambda |D p|^2 smallest. An active set method for bounded least
/// squares (Stark and Parker 1995, Computational Statistics 10, 129; from memory).
/// </summary>
/// <remarks>
/// A step found without bounds and then cut off at them may promise nothing while a shorter one, or one along the bound, does: a search that judges by it ends
/// where there is no minimum.
/// </remarks>
internal sealed class BoxedStep
{
    private readonly int _n;
    private readonly double[] _columns, _right, _triangle, _wish, _residual;
    private readonly int[] _places;
    private readonly bool[] _held;

    public BoxedStep(int n)
    {
        _n = n;
        _columns = new double[2 * n * n];
        _right = new double[2 * n];
        _triangle = new double[n * n];
        _wish = new double[n];
        _residual = new double[n];
        _places = new int[n];
        _held = new bool[n];
    }

    /// <param name="linear">R, q, D and lambda.</param>
    /// <param name="low">Lowest step of each parameter, 0 or below.</param>
    /// <param name="high">Highest, 0 or above.</param>
    /// <param name="free">Parameters that are not held at the beginning.</param>
    /// <param name="step">Filled; 0 promises nothing and nothing better was found.</param>
    public void Find(in LinearModel linear, ReadOnlySpan<double> low, ReadOnlySpan<double> high, ReadOnlySpan<bool> free, Span<double> step)
    {
        step.Clear();
        for (var j = 0; j < _n; j++) _held[j] = !free[j];
        // Each round ends in a better point or holds one more; rounding apart no set comes twice.
        for (var round = 0; round < 10 * _n; round++)
        {
            Solve(linear, step);
            if (Advance(low, high, step)) continue;
            if (!Release(linear, low, high, step)) return;
        }
    }

    // Unbounded minimum over the parameters that are not held, the others where they are.
    private void Solve(in LinearModel linear, ReadOnlySpan<double> step)
    {
        var count = 0;
        for (var j = 0; j < _n; j++)
            if (!_held[j]) _places[count++] = j;
        var rows = _n + count;
        linear.Turned.CopyTo(_right);
        _right.AsSpan(_n, count).Clear();
        for (var j = 0; j < _n; j++)
            if (_held[j] && step[j] != 0) Vectors.Add(step[j], linear.Column(j), _right.AsSpan(0, _n));
        var damping = Math.Sqrt(linear.Lambda);
        for (var k = 0; k < count; k++)
        {
            var column = _columns.AsSpan(k * rows, rows);
            linear.Column(_places[k]).CopyTo(column);
            column[_n..].Clear();
            column[_n + k] = damping * linear.Scale[_places[k]];
        }
        if (count == 0) return;
        HouseholderQr.Reduce(_columns.AsSpan(0, rows * count), rows, _right.AsSpan(0, rows), _triangle.AsSpan(0, count * count));
        for (var k = count - 1; k >= 0; k--)
        {
            var sum = -_right[k];
            for (var m = k + 1; m < count; m++) sum -= _triangle[m * count + k] * _wish[_places[m]];
            var pivot = _triangle[k * count + k];
            // A direction without effect is not followed.
            _wish[_places[k]] = Math.Abs(pivot) > 1e-14 * Vectors.Length(_triangle.AsSpan(k * count, k + 1)) ? sum / pivot : 0;
        }
    }

    // Goes towards the wish as far as the bounds allow and holds what meets one first. False when nothing was in the way.
    private bool Advance(ReadOnlySpan<double> low, ReadOnlySpan<double> high, Span<double> step)
    {
        var part = 1.0;
        var first = -1;
        for (var j = 0; j < _n; j++)
        {
            if (_held[j] || (_wish[j] >= low[j] && _wish[j] <= high[j])) continue;
            var room = ((_wish[j] < low[j] ? low[j] : high[j]) - step[j]) / (_wish[j] - step[j]);
            if (first < 0 || room < part) (part, first) = (room, j);
        }
        for (var j = 0; j < _n; j++)
            if (!_held[j]) step[j] = Math.Clamp(step[j] + part * (_wish[j] - step[j]), low[j], high[j]);
        if (first < 0) return false;
        step[first] = _wish[first] < low[first] ? low[first] : high[first];
        _held[first] = true;
        return true;
    }

    // Lets go of the held parameter that wants back into its range most; false when none does.
    private bool Release(in LinearModel linear, ReadOnlySpan<double> low, ReadOnlySpan<double> high, ReadOnlySpan<double> step)
    {
        linear.Turned.CopyTo(_residual);
        for (var j = 0; j < _n; j++)
            if (step[j] != 0) Vectors.Add(step[j], linear.Column(j), _residual);
        var most = 1e-12 * Vectors.Length(_residual);
        var chosen = -1;
        for (var j = 0; j < _n; j++)
        {
            if (!_held[j] || low[j] == high[j] || linear.Scale[j] == 0) continue;
            var pull = -(Vectors.Dot(linear.Column(j), _residual) + linear.Lambda * linear.Scale[j] * linear.Scale[j] * step[j]) / linear.Scale[j];
            var inwards = step[j] <= low[j] ? pull : step[j] >= high[j] ? -pull : 0;
            if (inwards > most) (most, chosen) = (inwards, j);
        }
        if (chosen >= 0) _held[chosen] = false;
        return chosen >= 0;
    }
}
