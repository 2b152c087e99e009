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

    /// <summary>Varies a tube that was put at all places of a group, in each lane by itself. It stays so until another is put there.</summary>
    /// <param name="first">The first place of the group.</param>
    /// <param name="perveance">Factor of its perveance.</param>
    /// <param name="offset">Added to its grid offset. Unit: V.</param>
    /// <param name="emission">Factor of its emission.</param>
    public void Vary(int first, Vector<double> perveance, Vector<double> offset, Vector<double> emission)
    {
        var constants = _tubes[first].Constants;
        ref var group = ref _groups[first / Vector<double>.Count];
        (group.Perveance, group.GridOffset, group.Saturation) = (constants.Perveance * perveance, constants.GridOffset + offset, constants.Saturation * emission);
    }

    /// <summary>Sets the points of a whole group, voltages against the cathodes. Unit: V.</summary>
    /// <param name="first">The first place of the group.</param>
    public void Set(int first, Vector<double> vg1, Vector<double> vg2, Vector<double> vp)
    {
        vg1.CopyTo(_grid, first);
        vg2.CopyTo(_screen, first);
        vp.CopyTo(_plate, first);
    }

    /// <summary>Sets the point of a tube, voltages against its cathode. Unit: V.</summary>
    public void Set(int at, double vg1, double vg2, double vp) => (_grid[at], _screen[at], _plate[at]) = (vg1, vg2, vp);

    /// <summary>Fills <see cref="Results"/>.</summary>
    public void Evaluate()
    {
        for (var first = 0; first < Count; first += Vector<double>.Count) Evaluate(first);
    }

    /// <summary>Fills <see cref="Results"/> for one group.</summary>
    /// <param name="first">The first place of the group.</param>
    public void Evaluate(int first)
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
