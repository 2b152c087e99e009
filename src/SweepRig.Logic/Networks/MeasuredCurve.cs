using SweepRig.Analysis.Families;
using SweepRig.Domain;
using SweepRig.Domain.Runs;
using SweepRig.Domain.Tubes;

namespace SweepRig.Logic.Networks;

/// <summary>
/// What a tube did in a run: plate and grid current over the voltage at its grid. On the load that it was swept with, its plate is where the run had it, whatever the tube is like;
/// on another load this says nothing. Immutable.
/// </summary>
/// <remarks>
/// Monotone cubics through the samples, so that there is no hill or dent that no sample shows, with their own slopes for Newton. Below the first sample all stays as it is there,
/// above the last it goes straight on: for the way to a solution, not for an answer, see <see cref="Outside"/>.
/// </remarks>
public sealed class MeasuredCurve
{
    /// <summary>How far a load may be from the one of the run, as a share of its resistance and of its supply (common practice, no source: what a good resistor and a trimmed rail differ by).</summary>
    public const double LoadShare = 0.02;

    /// <summary>Fewest samples that show a curve.</summary>
    public const int FewestPoints = 8;

    // Samples nearer to each other than a converter tells apart are one.
    private const double LeastStepVolts = 2e-3;

    // A grid current within so many of its standard uncertainties is none: a divider of some hundred kilohms would make volts of it.
    private const double SureDeviations = 3;

    // What still flows in a tube that counts as cut off, as a share of the most.
    private const double CutOffShare = 0.01;

    private readonly MonotoneCubic _plate, _grid;
    private readonly bool _beginsCutOff;

    private MeasuredCurve(string runId, Connection connection, double[] grid, double[] plateAmps, double[] gridAmps)
    {
        (RunId, Connection) = (runId, connection);
        (_plate, _grid) = (new(grid, plateAmps), new(grid, gridAmps));
        Points = [.. grid];
        _beginsCutOff = plateAmps[0] <= CutOffShare * plateAmps.Max();
    }

    /// <summary>The run that it is of.</summary>
    public string RunId { get; }

    /// <summary>With the resistors as they were measured.</summary>
    public Connection Connection { get; }

    /// <summary>Grid voltages of the samples, rising. Unit: V.</summary>
    public IReadOnlyList<double> Points { get; }

    /// <param name="curve">A whole pass, up or down.</param>
    /// <returns>Refused when it has too few sound samples.</returns>
    public static Outcome<MeasuredCurve> Of(string runId, Connection connection, Curve curve)
    {
        ArgumentNullException.ThrowIfNull(connection);
        ArgumentNullException.ThrowIfNull(curve);
        List<(double Grid, double Plate, double GridAmps)> points = [];
        foreach (var n in Enumerable.Range(0, curve.Count).Where(n => IsSound(curve, n)).OrderBy(n => curve.Grid[n]))
        {
            if (points.Count > 0 && curve.Grid[n] - points[^1].Grid < LeastStepVolts) continue;
            points.Add((curve.Grid[n], curve.PlateCurrent[n], GridAmps(curve, n)));
        }
        return points.Count >= FewestPoints
            ? Outcome<MeasuredCurve>.Accept(new(runId, connection, [.. points.Select(p => p.Grid)], [.. points.Select(p => p.Plate)], [.. points.Select(p => p.GridAmps)]))
            : Outcome<MeasuredCurve>.Refuse(new Refusal("curve-too-thin", "", $"run {runId} has {points.Count} sound samples", $"{FewestPoints} or more show a curve", "Sweep it again with more points."));
    }

    /// <summary>Currents into plate and grid, and their slopes by the grid voltage.</summary>
    /// <param name="grid">Against the cathode. Unit: V.</param>
    public (double Plate, double PlateSlope, double Grid, double GridSlope) At(double grid)
    {
        var (plate, plateSlope) = One(_plate, grid);
        var (into, intoSlope) = One(_grid, grid);
        return (plate, plateSlope, into, intoSlope);
    }

    /// <summary>Why an answer with the grid there is none of the run's; null when it is.</summary>
    /// <param name="grid">Against the cathode. Unit: V.</param>
    public string? Outside(double grid) =>
        grid > _plate.Last ? $"its grid is at {grid:0.##} V, and its run went up to {_plate.Last:0.##} V"
        : grid < _plate.First && !_beginsCutOff ? $"its grid is at {grid:0.##} V, and its run began at {_plate.First:0.##} V, where it was not cut off"
        : null;

    private static bool IsSound(Curve curve, int n) =>
        double.IsFinite(curve.Grid[n]) && double.IsFinite(curve.PlateCurrent[n]) && double.IsFinite(curve.GridCurrent[n]) && !curve.Flags[n].HasFlag(SampleFlags.Clipped);

    private static double GridAmps(Curve curve, int n) =>
        curve.GridCurrentUncertainty.Length > n && !(Math.Abs(curve.GridCurrent[n]) > SureDeviations * curve.GridCurrentUncertainty[n]) ? 0 : curve.GridCurrent[n];

    private static (double Value, double Slope) One(MonotoneCubic cubic, double x)
    {
        if (x < cubic.First) return (cubic.At(cubic.First, out _, out _), 0);
        if (x <= cubic.Last) return (cubic.At(x, out var slope, out _), slope);
        var end = cubic.At(cubic.Last, out var last, out _);
        return (end + last * (x - cubic.Last), last);
    }
}
