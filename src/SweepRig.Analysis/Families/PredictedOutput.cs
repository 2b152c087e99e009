using SweepRig.Domain.Runs;

namespace SweepRig.Analysis.Families;

/// <summary>Output that a load line gives on a measured surface: one element a drive, NaN where the line leaves what was measured.</summary>
/// <param name="Line">What was asked for.</param>
/// <param name="Drive">Before the grid stopper, which is that of the family. Ascending. Unit: V.</param>
/// <param name="Plate">Predicted output. Unit: V.</param>
/// <param name="PlateUncertainty">Standard uncertainty: readings, what the surface leaves open between its curves, rail and resistor of the line. Unit: V.</param>
/// <param name="Grid">At the pin. Unit: V.</param>
/// <param name="Outside">Drives at which the line lies outside what was measured; there is no value there.</param>
/// <param name="Note">What to know of the whole, for people; null when nothing.</param>
public sealed record PredictedOutput(LoadLine Line, double[] Drive, double[] Plate, double[] PlateUncertainty, double[] Grid, int Outside, string? Note)
{
    /// <summary>Points for drawing the line on the surface: where each drive settles. Units: V, A.</summary>
    public IReadOnlyList<SurfacePoint> OperatingPoints => [.. Plate.Where(double.IsFinite).Select(v => new SurfacePoint(v, Line.CurrentAt(v)))];

    /// <summary>As a curve, so that levels can be read off it as off a measured one. Grid current from the drop over the stopper; screen not predicted.</summary>
    /// <param name="gridStopperOhms">Of the family, above 0.</param>
    public Curve ToCurve(double gridStopperOhms)
    {
        double[] Column(Func<int, double> of) => [.. Enumerable.Range(0, Drive.Length).Select(i => double.IsFinite(Plate[i]) ? of(i) : double.NaN)];
        return new()
        {
            Pass = new(0, PassDirection.Up, Drive.Length, 0, null),
            Drive = Column(i => Drive[i]),
            Grid = Column(i => Grid[i]),
            Plate = Plate,
            Screen = Column(_ => double.NaN),
            Supply = Column(_ => Line.Rail.Value),
            GridCurrent = Column(i => (Drive[i] - Grid[i]) / gridStopperOhms),
            ScreenCurrent = Column(_ => double.NaN),
            PlateCurrent = Column(i => Line.CurrentAt(Plate[i])),
            PlateUncertainty = PlateUncertainty,
            Flags = Array.ConvertAll(Plate, _ => SampleFlags.None),
            SampledAtTicks = new long[Drive.Length],
        };
    }
}
