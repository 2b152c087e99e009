using SweepRig.Domain.Runs;

namespace SweepRig.Storage.Exports;

/// <summary>One level of one curve, as a row of an exported table.</summary>
/// <param name="Run">With the calibration in force.</param>
/// <param name="Pass">Of the curve.</param>
/// <param name="Level">Kebab-case word.</param>
/// <param name="Value">In <paramref name="Unit"/>; null when the level does not exist on the curve.</param>
/// <param name="Unit">SI symbol; <c>1</c> for a ratio.</param>
/// <param name="StandardUncertainty">In the unit; null when it was not estimated.</param>
/// <param name="CoverageFactor">For 95 %.</param>
/// <param name="Mark">Why the number deserves caution.</param>
/// <param name="AbsentBecause">Why there is no value.</param>
public sealed record LevelRow(
    RunHeader Run, PassHeader Pass, string Level, double? Value, string Unit, double? StandardUncertainty, double? CoverageFactor, string? Mark, string? AbsentBecause);
