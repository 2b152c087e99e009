using System.Numerics;

namespace SweepRig.Tubes.Model;

/// <summary>Several tubes, each at a point of its own, as many side by side as the processor has lanes: what the solver of a network asks for at every step.</summary>
/// <remarks>Belongs to one thread. The results are those of <see cref="TubeModel.Evaluate(double, double, double)"/>, bit for bit. No allocation but in the constructor.</remarks>
public sealed class TubeBank
{
    private readonly TubeModel[] _tubes;
    private readonly TubeConstants[] _groups;
    private readonly bool[] _mixed;
    private readonly double[] _grid, _screen, _plate;

    /// <param name="count">Tubes; each must be put in before the bank is evaluated.</param>
    public TubeBank(int count)
    {
        var width = Vector<double>.Count;
        var groups = (count + width - 1) / width;
        Count = count;
        _tubes = new TubeModel[count];
        _groups = new TubeConstants[groups];
        _mixed = new bool[groups];
        (_grid, _screen, _plate) = (new double[groups * width], new double[groups * width], new double[groups * width]);
        Results = new(groups * width);
    }

    public int Count { get; }

    /// <summary>Currents and derivatives after <see cref="Evaluate()"/>, in the order of the tubes.</summary>
    public TubeColumns Results { get; }

    /// <summary>Puts a tube at a place.</summary>
    public void Put(int at, TubeModel tube)
    {
        ArgumentNullException.ThrowIfNull(tube);
        if (ReferenceEquals(_tubes[at], tube)) return;
        _tubes[at] = tube;
        var (group, lane) = Math.DivRem(at, Vector<double>.Count);
        var constants = tube.Constants;
        var first = group * Vector<double>.Count;
        // Lanes without a tube carry the first one, so that they hold numbers.
        if (lane == 0) _groups[group] = constants;
        for (var n = 0; n < Vector<double>.Count && first + n < Count; n++)
            if (_tubes[first + n] is { } other && (n != 0 || lane != 0)) _groups[group].Put(other.Constants, n);
        _mixed[group] = false;
        for (var n = 0; n < Vector<double>.Count && first + n < Count; n++)
            if (_tubes[first + n] is { } other && !other.Constants.IsAsSharpAs(_groups[group])) _mixed[group] = true;
    }

    /// <summary>Sets the point of a tube, voltages against its cathode. Unit: V.</summary>
    public void Set(int at, double vg1, double vg2, double vp) => (_grid[at], _screen[at], _plate[at]) = (vg1, vg2, vp);

    /// <summary>Fills <see cref="Results"/>.</summary>
    public void Evaluate()
    {
        for (var first = 0; first < Count; first += Vector<double>.Count) Evaluate(first);
    }

    private void Evaluate(int first)
    {
        var width = Vector<double>.Count;
        var group = first / width;
        if (!_mixed[group])
        {
            TubeModel.EvaluateLanes<TubeModel.Plain>(_groups[group], new(_grid, first), new(_screen, first), new(_plate, first), out var lanes, out _);
            Results.Store(lanes, first, width);
            return;
        }
        for (var at = first; at < Math.Min(first + width, Count); at++)
        {
            TubeModel.EvaluateLanes<TubeModel.Plain>(_tubes[at].Constants, new(_grid[at]), new(_screen[at]), new(_plate[at]), out var one, out _);
            Results.Store(one, at, 1);
        }
    }
}
