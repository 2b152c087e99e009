using SweepRig.Domain.Measurement;
using SweepRig.Domain.Plans;
using SweepRig.Domain.Runs;
using SweepRig.Domain.Tubes;

namespace SweepRig.Analysis.Levels;

/// <summary>Levels of every curve of a run, and what only several curves together tell. Pure.</summary>
public static class RunLevelFinder
{
    public static RunLevels Find(RunHeader header, IReadOnlyList<Curve> curves, LevelOptions options)
    {
        ArgumentNullException.ThrowIfNull(header);
        var passes = header.Plan.Adaptive is null ? curves : ScatteredPasses.Together(curves);
        return Find(header.Id, passes, header.Plan.Connection, options, MeasurementUncertainty.Of(header), header.Plan.SecondSource?.Source);
    }

    /// <param name="runId">The run.</param>
    /// <param name="curves">Its curves, in the order of the passes.</param>
    /// <param name="connection">How the tube was wired.</param>
    /// <param name="options">Stated currents and floors.</param>
    /// <param name="known">What the calibration in force leaves unknown.</param>
    /// <param name="stepped">What was stepped from pass to pass; null for nothing.</param>
    public static RunLevels Find(
        string runId, IReadOnlyList<Curve> curves, Connection connection, LevelOptions options, MeasurementUncertainty known, SteppedSource? stepped = null)
    {
        ArgumentNullException.ThrowIfNull(curves);
        ArgumentNullException.ThrowIfNull(options);
        CurveLevels[] levels = [.. curves.Select(curve => LevelFinder.Find(curve, connection, options, known))];
        // One pass of each plate rail: repeats and the way back are the same curve again. A stepped heater makes other tubes, not other points of one.
        TubeCurve[] family = stepped == SteppedSource.Heater
            ? []
            : [.. curves.DistinctBy(c => c.Pass.SecondSourceVolts).Select(c => new TubeCurve(c, connection, known))];
        return new(
            runId, options, levels,
            UpDownDifference.Find(curves, connection, options, known),
            RepeatabilityFinder.Find(curves, levels),
            [.. options.GridPoints.Select(grid => SmallSignalFinder.At(family, grid, options))]);
    }
}
