namespace SweepRig.Analysis.Levels;

/// <summary>A level of a curve under the word that limits, matches and scripts know it by.</summary>
/// <param name="Word">Kebab-case.</param>
/// <param name="Name">For people.</param>
/// <param name="Of">Picks it.</param>
public sealed record NamedLevel(string Word, string Name, Func<CurveLevels, Figure> Of);

/// <summary>All levels by their words.</summary>
public static class NamedLevels
{
    public static IReadOnlyList<NamedLevel> All { get; } =
    [
        new("voh", "VOH, highest output", c => c.HighestOutput),
        new("vol", "VOL, lowest output", c => c.LowestOutput),
        new("vil", "VIL, lower unity gain", c => c.UnityGainLow),
        new("vih", "VIH, upper unity gain", c => c.UnityGainHigh),
        new("switching-drive", "switching drive", c => c.SwitchingDrive),
        new("switching-output", "output at the switching drive", c => c.SwitchingOutput),
        new("switching-gain", "gain at the switching drive", c => c.SwitchingGain),
        new("output-at-vil", "output at VIL", c => c.OutputAtUnityLow),
        new("output-at-vih", "output at VIH", c => c.OutputAtUnityHigh),
        new("transition-width", "transition width", c => c.TransitionWidth),
        new("margin-low", "margin low, coupled directly", c => c.MarginLow),
        new("margin-high", "margin high, coupled directly", c => c.MarginHigh),
        new("cut-off-drive", "cut-off drive", c => c.CutOffDrive),
        new("cut-off-drive-of-full", "cut-off drive, by a part of the full current", c => c.CutOffDriveOfFull),
        new("grid-current-onset", "onset of grid current", c => c.GridCurrentOnset),
        new("grid-current-onset-upper", "onset of more grid current", c => c.GridCurrentOnsetUpper),
        new("input-current", "input current at VOH", c => c.InputCurrentAtHigh),
        new("fold-back-depth", "fold-back depth", c => c.FoldBackDepth),
        new("fold-back-slope", "fold-back slope", c => c.FoldBackSlope),
        new("drive-at-minimum", "drive at the lowest output", c => c.DriveAtMinimum),
        new("saturated-resistance", "saturated plate resistance", c => c.SaturatedResistance),
    ];
}
