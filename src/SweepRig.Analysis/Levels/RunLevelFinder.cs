using SweepRig.Domain.Rigs;
using SweepRig.Domain.Runs;
using SweepRig.Domain.Tubes;

namespace SweepRig.Analysis.Levels;

/// <summary>Levels of every curve of a run, and what only several curves together tell. Pure.</summary>
public static class RunLevelFinder
{
    /// <param name="runId">The run.</param>
    /// <param name="curves">Its curves, in the order of the passes.</param>
    /// <param name="connection">How the tube was wired.</param>
    /// <param name="options">Stated currents and floors.</param>
    /// <param name="calibration">That the curves were made with.</param>
    public static RunLevels Find(
        string runId, IReadOnlyList<Curve> curves, Connection connection, LevelOptions options, RigCalibration calibration)
    {
        ArgumentNullException.ThrowIfNull(curves);
        return new(
            runId,
            options,
            [.. curves.Select(curve => LevelFinder.Find(curve, connection, options, calibration))],
            UpDownDifference.Find(curves, connection, options, calibration));
    }
}
