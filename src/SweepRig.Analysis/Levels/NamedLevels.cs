namespace SweepRig.Analysis.Levels;

/// <summary>A level of a curve under the word that limits, matches and scripts know it by.</summary>
/// <param name="Word">Kebab-case.</param>
/// <param name="Of">Picks it.</param>
public sealed record NamedLevel(string Word, Func<CurveLevels, Figure> Of);

/// <summary>All levels by their words.</summary>
public static class NamedLevels
{
    public static IReadOnlyList<NamedLevel> All { get; } =
    [
        new("voh", c => c.HighestOutput),
        new("vol", c => c.LowestOutput),
        new("vil", c => c.UnityGainLow),
        new("vih", c => c.UnityGainHigh),
        new("switching-drive", c => c.SwitchingDrive),
        new("switching-output", c => c.SwitchingOutput),
        new("switching-gain", c => c.SwitchingGain),
        new("output-at-vil", c => c.OutputAtUnityLow),
        new("output-at-vih", c => c.OutputAtUnityHigh),
        new("transition-width", c => c.TransitionWidth),
        new("margin-low", c => c.MarginLow),
        new("margin-high", c => c.MarginHigh),
        new("cut-off-drive", c => c.CutOffDrive),
        new("cut-off-drive-of-full", c => c.CutOffDriveOfFull),
        new("grid-current-onset", c => c.GridCurrentOnset),
        new("grid-current-onset-upper", c => c.GridCurrentOnsetUpper),
        new("input-current", c => c.InputCurrentAtHigh),
        new("fold-back-depth", c => c.FoldBackDepth),
        new("fold-back-slope", c => c.FoldBackSlope),
        new("drive-at-minimum", c => c.DriveAtMinimum),
        new("saturated-resistance", c => c.SaturatedResistance),
    ];
}
