using System.Globalization;
using SweepRig.Domain;
using SweepRig.Domain.Plans;
using SweepRig.Domain.Tubes;

namespace SweepRig.Analysis.Families;

/// <summary>
/// Plate current over drive and plate voltage, as measured: at each drive the curves of a family give a few pairs of plate voltage and current, and between
/// neighbouring ones a monotone cubic is drawn. Never beyond the outermost curve, never across missing points. Immutable, pure.
/// </summary>
/// <remarks>
/// In triode connection the passes may differ in plate rail and plate resistor. In pentode connection they may differ in the plate resistor only, because the
/// screen hangs on the rail. What the surface is wrong by between two curves is taken as the difference between the cubic and the straight line, rectangular.
/// </remarks>
public sealed class PlateSurface
{
    public const int LeastCurves = 3;

    private readonly IReadOnlyList<SurfaceCurve> _curves;
    private readonly bool _nominal;

    private PlateSurface(Connection connection, IReadOnlyList<SurfaceCurve> curves, bool nominal)
    {
        (Connection, _curves, _nominal) = (connection, curves, nominal);
        Drives = [.. curves.SelectMany(c => c.Drives).Order().Aggregate(new List<double>(), (kept, x) =>
        {
            if (kept.Count == 0 || x - kept[^1] > 1e-6) kept.Add(x);
            return kept;
        })];
    }

    /// <summary>Of the first run: connection, stopper, screen resistor and heater are common to all.</summary>
    public Connection Connection { get; }

    /// <summary>All drives measured, ascending. Unit: V.</summary>
    public IReadOnlyList<double> Drives { get; }

    public int Curves => _curves.Count;

    /// <summary>Refused with every reason when the runs do not make one surface.</summary>
    public static Outcome<PlateSurface> Of(IReadOnlyList<FamilyRun> runs)
    {
        ArgumentNullException.ThrowIfNull(runs);
        var faults = FamilyChecks.Of(runs);
        if (faults.Count > 0) return Outcome<PlateSurface>.Refuse(faults);
        var curves = runs
            .SelectMany(r => r.Curves.Select(c => (Ohms: r.Connection.PlateResistor.Value, Rail: r.Stepped is SteppedSource.PlateRail && c.Pass.SecondSourceVolts is { } v ? v : r.Connection.PlateRail.Value, Curve: c)))
            .GroupBy(p => (p.Ohms, p.Rail), p => p.Curve)
            .Select(g => SurfaceCurve.Of(g, g.Key.Ohms))
            .OfType<SurfaceCurve>()
            .ToList();
        if (curves.Count < LeastCurves) return Outcome<PlateSurface>.Refuse(FamilyChecks.TooFew(curves.Count));
        return Outcome<PlateSurface>.Accept(new(runs[0].Connection, curves, runs.Any(r => r.Calibration.IsNominal)));
    }

    /// <summary>Points of equal drive, from curve to curve in ascending plate voltage, for drawing the surface. Units: V, A.</summary>
    public IReadOnlyList<SurfacePoint> AtDrive(double drive) => [.. Nodes(drive).Select(n => new SurfacePoint(n.Plate, n.Current))];

    /// <summary>The line of equal drive that is drawn between the curves: evenly over plate voltage, from the outermost to the outermost. Empty where fewer than two curves reach the drive. Units: V, A.</summary>
    /// <param name="drive">Within <see cref="Drives"/>.</param>
    /// <param name="points">2 or more.</param>
    public IReadOnlyList<SurfacePoint> Line(double drive, int points)
    {
        var nodes = Nodes(drive);
        if (nodes.Count < 2) return [];
        var line = new MonotoneCubic([.. nodes.Select(n => n.Plate)], [.. nodes.Select(n => n.Current)]);
        return [.. Enumerable.Range(0, points).Select(i => line.First + (line.Last - line.First) * i / (points - 1)).Select(v => new SurfacePoint(v, line.At(v, out _, out _)))];
    }

    /// <summary>Where a load line meets the surface at one drive; null where it lies outside what was measured. Units: V.</summary>
    public (double Plate, double Uncertainty)? Meeting(double drive, LoadLine line)
    {
        ArgumentNullException.ThrowIfNull(line);
        var (plate, uncertainty, _) = Meet(Nodes(drive), line);
        return double.IsNaN(plate) ? null : (plate, uncertainty);
    }

    /// <summary>Points of equal grid voltage, from curve to curve in ascending plate voltage. A curve that does not reach the voltage gives none.</summary>
    /// <param name="gridVolts">At the pin. Unit: V.</param>
    public IReadOnlyList<SurfacePoint> AtGrid(double gridVolts) =>
        [.. _curves.Select(c => Crossing(c, gridVolts)).OfType<SurfacePoint>().OrderBy(p => p.PlateVolts)];

    /// <summary>Where the load line meets the surface, for every drive.</summary>
    public Outcome<PredictedOutput> Predict(LoadLine line)
    {
        ArgumentNullException.ThrowIfNull(line);
        if (line.Fault is { } fault) return Outcome<PredictedOutput>.Refuse(FamilyChecks.BadLine(fault));
        if (Connection.Kind == ConnectionKind.Pentode && Math.Abs(line.Rail.Value - Connection.PlateRail.Value) > FamilyChecks.SameRailVolts)
            return Outcome<PredictedOutput>.Refuse(FamilyChecks.OtherScreen(line.Rail, Connection.PlateRail.Value));
        var count = Drives.Count;
        double[] plate = new double[count], uncertainty = new double[count], grid = new double[count];
        var outside = 0;
        for (var i = 0; i < count; i++)
        {
            (plate[i], uncertainty[i], grid[i]) = Meet(Nodes(Drives[i]), line);
            if (double.IsNaN(plate[i])) outside++;
        }
        var notes = new List<string>(2);
        if (outside == count) return Outcome<PredictedOutput>.Refuse(new Refusal(
            "line-outside", "", $"{line.Resistor} at {line.Rail}", "the line must cross what was measured, and it does so at no drive", "Ask for a resistor between those measured, or record runs beyond it."));
        if (outside > 0) notes.Add(string.Create(CultureInfo.InvariantCulture, $"at {outside} of {count} drives the load line leaves what was measured; nothing is said there"));
        if (_nominal) notes.Add("the rig is not calibrated");
        return Outcome<PredictedOutput>.Accept(new(line, [.. Drives], plate, uncertainty, grid, outside, notes.Count == 0 ? null : string.Join("; ", notes)));
    }

    private List<SurfaceCurve.Reading> Nodes(double drive)
    {
        var nodes = _curves.Select(c => c.At(drive)).OfType<SurfaceCurve.Reading>().OrderBy(r => r.Plate).ToList();
        // Two curves that nearly meet, as all do at cut-off on one rail, are one node.
        for (var i = nodes.Count - 1; i > 0; i--)
        {
            if (nodes[i].Plate - nodes[i - 1].Plate > 2 * Math.Max(nodes[i].PlateUncertainty, nodes[i - 1].PlateUncertainty) + 1e-6) continue;
            nodes[i - 1] = Mean(nodes[i - 1], nodes[i]);
            nodes.RemoveAt(i);
        }
        return nodes;
    }

    private static SurfaceCurve.Reading Mean(SurfaceCurve.Reading a, SurfaceCurve.Reading b) => new(
        (a.Plate + b.Plate) / 2, (a.Current + b.Current) / 2, (a.Grid + b.Grid) / 2,
        Math.Max(a.PlateUncertainty, b.PlateUncertainty), Math.Max(a.CurrentUncertainty, b.CurrentUncertainty));

    private static (double Plate, double Uncertainty, double Grid) Meet(List<SurfaceCurve.Reading> nodes, LoadLine line)
    {
        var outside = (double.NaN, double.NaN, double.NaN);
        if (nodes.Count < 2) return nodes.Count == 1 ? OnOne(nodes[0], line) : outside;
        double[] x = [.. nodes.Select(n => n.Plate)];
        var surface = new MonotoneCubic(x, [.. nodes.Select(n => n.Current)]);
        double low = surface.First, high = surface.Last;
        if (Excess(low) > 0) return OnOne(nodes[0], line);
        if (Excess(high) < 0) return OnOne(nodes[^1], line);
        // Excess rises with the plate voltage: halving finds the one crossing.
        for (var n = 0; n < 60; n++)
        {
            var middle = (low + high) / 2;
            if (Excess(middle) < 0) low = middle;
            else high = middle;
        }
        var plate = (low + high) / 2;
        var current = surface.At(plate, out var slope, out var straight);
        var right = Math.Clamp(nodes.FindIndex(n => n.Plate >= plate), 1, nodes.Count - 1);
        var t = Math.Clamp((plate - nodes[right - 1].Plate) / (nodes[right].Plate - nodes[right - 1].Plate), 0, 1);
        double Mixed(Func<SurfaceCurve.Reading, double> of) => of(nodes[right - 1]) + t * (of(nodes[right]) - of(nodes[right - 1]));
        // An error of a node's voltage moves its current the other way along its own line: both add, as do neighbours, which share a calibration.
        var readings = Mixed(n => n.CurrentUncertainty) + Math.Abs(slope) * Mixed(n => n.PlateUncertainty);
        return (plate, Volts(readings, (current - straight) / Math.Sqrt(3), slope, line, plate), Mixed(n => n.Grid));

        double Excess(double v) => surface.At(v, out _, out _) - line.CurrentAt(v);
    }

    // The outermost node itself, where the line passes through it within its uncertainty, as every line of one rail does at cut-off.
    private static (double Plate, double Uncertainty, double Grid) OnOne(SurfaceCurve.Reading node, LoadLine line)
    {
        var plate = line.Rail.Value - node.Current * line.Resistor.Value;
        var allowed = 2 * (node.PlateUncertainty + node.CurrentUncertainty * line.Resistor.Value + line.RailUncertainty) + 1e-6;
        if (Math.Abs(plate - node.Plate) > allowed) return (double.NaN, double.NaN, double.NaN);
        return (node.Plate, Math.Sqrt(node.PlateUncertainty * node.PlateUncertainty + (plate - node.Plate) * (plate - node.Plate) / 3
            + line.RailUncertainty * line.RailUncertainty), node.Grid);
    }

    private static double Volts(double readings, double doubt, double slope, LoadLine line, double plate)
    {
        var conductance = Math.Max(0, slope) + 1 / line.Resistor.Value;
        var rail = line.RailUncertainty / line.Resistor.Value;
        var resistor = line.CurrentAt(plate) * line.ResistorUncertainty / line.Resistor.Value;
        return Math.Sqrt(readings * readings + doubt * doubt + rail * rail + resistor * resistor) / conductance;
    }

    private static SurfacePoint? Crossing(SurfaceCurve curve, double gridVolts)
    {
        for (var i = 1; i < curve.Drives.Count; i++)
        {
            if (curve.At(curve.Drives[i - 1]) is not { } a || curve.At(curve.Drives[i]) is not { } b) continue;
            if ((a.Grid - gridVolts) * (b.Grid - gridVolts) > 0 || a.Grid == b.Grid) continue;
            // Between neighbours across a gap nothing is known.
            if (curve.At((curve.Drives[i - 1] + curve.Drives[i]) / 2) is null) continue;
            var t = (gridVolts - a.Grid) / (b.Grid - a.Grid);
            return new(a.Plate + t * (b.Plate - a.Plate), a.Current + t * (b.Current - a.Current));
        }
        return null;
    }
}
