using SweepRig.Service.Live;
using SweepRig.Storage.Exports;

namespace SweepRig.Service.Contract;

/// <summary>A run with its curves, as one item of an export.</summary>
public sealed record SampledRunView(RunView Run, CurvesView Curves);

/// <summary>A level of a curve, as one item of an export.</summary>
/// <param name="Level">Its word.</param>
/// <param name="Value">In <paramref name="Unit"/>; null when it does not exist on the curve.</param>
/// <param name="Unit">SI symbol; <c>1</c> for a ratio.</param>
/// <param name="StandardUncertainty">In the unit.</param>
/// <param name="CoverageFactor">For 95 %.</param>
/// <param name="Mark">Why the number deserves caution.</param>
/// <param name="AbsentBecause">Why there is no value.</param>
public sealed record LevelRowView(
    string Run, string StartedUtc, TubeView Tube, string Connection, CalibrationView Calibration, PassView Pass, string Level, double? Value, string Unit,
    double? StandardUncertainty, double? CoverageFactor, string? Mark, string? AbsentBecause)
{
    public static LevelRowView Of(LevelRow row) => new(
        row.Run.Id, BenchViews.Utc(row.Run.StartedUtc), BenchViews.Of(row.Run.Tube), BenchViews.Word(row.Run.Plan.Connection.Kind), BenchViews.Of(row.Run.Calibration), BenchViews.Of(row.Pass),
        row.Level, row.Value, row.Unit, row.StandardUncertainty, row.CoverageFactor, row.Mark, row.AbsentBecause);
}
