using SweepRig.Analysis;
using SweepRig.Analysis.Levels;
using SweepRig.Analysis.Studies;
using SweepRig.Domain.Measurement;

namespace SweepRig.Sweeps.Studies;

/// <summary>What one ceiling showed.</summary>
/// <param name="Ceiling">V.</param>
/// <param name="Burden">What the sweep asked of the tube.</param>
/// <param name="Levels">Of its curve, among them fold-back.</param>
/// <param name="OutputAtEnd">Plate voltage at the highest drive.</param>
/// <param name="CoulombsSoFar">Charge into the grid over the exploration, this sweep included.</param>
/// <param name="After">The reference sweep after it; null while that is still to come.</param>
public sealed record ExplorationStep(double Ceiling, DriveBurden Burden, CurveLevels Levels, Figure OutputAtEnd, double CoulombsSoFar, RepeatCheck? After)
{
    internal static ExplorationStep Of(StudyRun run, double ceiling, double pointSeconds, double coulombsBefore)
    {
        var curve = run.Curves[0];
        var burden = DriveBurden.Of(curve, MeasurementUncertainty.Of(run.Header), pointSeconds);
        var last = Array.FindLastIndex(curve.Plate, double.IsFinite);
        return new(
            ceiling, burden, RunLevelFinder.Find(run.Header, run.Curves, new LevelOptions()).Curves[0],
            last < 0 ? Figure.None("V", "it was not measured") : Figure.Of(curve.Plate[last], "V", curve.PlateUncertainty[last]),
            coulombsBefore + (burden.GridCoulombs.Value ?? 0), null);
    }

    /// <summary>The output rises again by more than its uncertainty explains.</summary>
    public bool FoldsBack => Levels.FoldBackDepth.Value is > 0;
}
