using SweepRig.Domain.Runs;

namespace SweepRig.Analysis.Smoothing;

/// <summary>
/// The usable points of one column of a curve in ascending drive. Missing points are remembered as gaps, which nothing may span; so are samples with a channel at the end of
/// its converter's range: they are bounds and no readings.
/// </summary>
internal sealed class Trace
{
    private readonly bool[] _gapBefore, _clippedBefore;
    private readonly int[] _source, _segmentStart, _segmentEnd;

    private Trace(double[] x, double[] y, double[] stated, SampleFlags[] flags, int[] source, bool[] gapBefore, int missingAtStart, int missingAtEnd, bool[] clippedBefore, int clipped)
    {
        _source = source;
        X = x;
        Y = y;
        Stated = stated;
        Flags = flags;
        MissingAtStart = missingAtStart;
        MissingAtEnd = missingAtEnd;
        _gapBefore = gapBefore;
        _clippedBefore = clippedBefore;
        Clipped = clipped;
        _segmentStart = new int[x.Length];
        _segmentEnd = new int[x.Length];
        for (var i = 0; i < x.Length; i++) _segmentStart[i] = i == 0 || gapBefore[i] ? i : _segmentStart[i - 1];
        for (var i = x.Length - 1; i >= 0; i--) _segmentEnd[i] = i == x.Length - 1 || gapBefore[i + 1] ? i : _segmentEnd[i + 1];
    }

    /// <summary>Drive, volts, ascending; equal neighbours occur where the DAC is coarser than the plan.</summary>
    public double[] X { get; }

    public double[] Y { get; }

    /// <summary>Standard uncertainty that came with each point, calibration included; 0 where none came.</summary>
    public double[] Stated { get; }

    public SampleFlags[] Flags { get; }

    public int Count => X.Length;

    /// <summary>Points planned below the lowest one measured.</summary>
    public int MissingAtStart { get; }

    /// <summary>Points planned above the highest one measured.</summary>
    public int MissingAtEnd { get; }

    /// <summary>First and last point of the unbroken stretch that a point lies in.</summary>
    public (int First, int Last) Segment(int i) => (_segmentStart[i], _segmentEnd[i]);

    /// <summary>Point of the curve that a point of the trace is.</summary>
    public int Source(int i) => _source[i];

    /// <summary>Point nearest to a drive.</summary>
    public int Nearest(double drive)
    {
        var found = Array.BinarySearch(X, drive);
        if (found >= 0) return found;
        var above = ~found;
        if (above == 0) return 0;
        if (above == Count) return Count - 1;
        return X[above] - drive < drive - X[above - 1] ? above : above - 1;
    }

    /// <summary>True if points are missing between this point and the one before.</summary>
    public bool GapBefore(int i) => _gapBefore[i];

    /// <summary>Samples with a channel at the end of its converter's range, which were left out.</summary>
    public int Clipped { get; }

    /// <summary>True if such samples lie between this point and the one before; before the first and after the last point too (<paramref name="i"/> is then <see cref="Count"/>).</summary>
    public bool ClippedBefore(int i) => _clippedBefore[i];

    /// <param name="curve">In either direction.</param>
    /// <param name="y">A column of it, or one made from its columns.</param>
    /// <param name="stated">Uncertainties beside <paramref name="y"/>; null or empty for none.</param>
    public static Trace Of(Curve curve, double[] y, double[]? stated = null)
    {
        var usable = new List<int>(curve.Count);
        var clippedUpTo = new int[curve.Count + 1];
        for (var i = 0; i < curve.Count; i++)
        {
            var read = double.IsFinite(curve.Drive[i]) && double.IsFinite(y[i]);
            var clipped = read && curve.Flags[i].HasFlag(SampleFlags.Clipped);
            clippedUpTo[i + 1] = clippedUpTo[i] + (clipped ? 1 : 0);
            if (read && !clipped) usable.Add(i);
        }
        var descending = usable.Count > 1 && curve.Drive[usable[^1]] < curve.Drive[usable[0]];
        var (before, after) = usable.Count > 0 ? (usable[0], curve.Count - 1 - usable[^1]) : (curve.Count, 0);
        if (descending)
        {
            usable.Reverse();
            (before, after) = (after, before);
        }

        var order = usable.ToArray();
        // Places in the curve between which a point of the trace and the one before it lie, ends included.
        int[] places = [descending ? curve.Count : -1, .. order, descending ? -1 : curve.Count];
        var clippedBefore = new bool[order.Length + 1];
        for (var k = 0; k <= order.Length; k++) clippedBefore[k] = clippedUpTo[Math.Max(places[k], places[k + 1])] > clippedUpTo[Math.Min(places[k], places[k + 1]) + 1];
        var gapBefore = new bool[order.Length];
        for (var k = 1; k < order.Length; k++) gapBefore[k] = Math.Abs(order[k] - order[k - 1]) != 1;
        var x = Array.ConvertAll(order, i => curve.Drive[i]);
        for (var k = 1; k < x.Length; k++)
        {
            // A pass steps one way only; codes never turn back, so this is a curve made wrongly and not a measurement.
            if (x[k] < x[k - 1]) throw new ArgumentException("SweepRig bug: the drive of a pass turns back.", nameof(curve));
        }
        return new(
            x,
            Array.ConvertAll(order, i => y[i]),
            Array.ConvertAll(order, i => stated is { Length: > 0 } && double.IsFinite(stated[i]) ? stated[i] : 0),
            Array.ConvertAll(order, i => curve.Flags[i]),
            order,
            gapBefore,
            before,
            after,
            clippedBefore,
            clippedUpTo[^1]);
    }
}
