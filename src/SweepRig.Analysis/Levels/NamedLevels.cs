namespace SweepRig.Analysis.Levels;

/// <summary>A level of a curve under the word that limits, matches and scripts know it by.</summary>
/// <param name="Word">Kebab-case.</param>
/// <param name="Unit">Of its figure.</param>
/// <param name="Meaning">For people, in a few words.</param>
/// <param name="Of">Picks it.</param>
public sealed record NamedLevel(string Word, string Unit, string Meaning, Func<CurveLevels, Figure> Of);

/// <summary>All levels by their words.</summary>
public static class NamedLevels
{
    public static IReadOnlyList<NamedLevel> All { get; } =
    [
        new("voh", "V", "VOH: largest output", c => c.HighestOutput),
        new("vol", "V", "VOL: smallest output", c => c.LowestOutput),
        new("vil", "V", "VIL: lower drive at which the gain passes -1", c => c.UnityGainLow),
        new("vih", "V", "VIH: upper drive at which the gain passes -1 again", c => c.UnityGainHigh),
        new("switching-drive", "V", "drive where the output falls most steeply", c => c.SwitchingDrive),
        new("switching-output", "V", "output there", c => c.SwitchingOutput),
        new("switching-gain", "1", "gain there, negative", c => c.SwitchingGain),
        new("output-at-vil", "V", "output at VIL", c => c.OutputAtUnityLow),
        new("output-at-vih", "V", "output at VIH", c => c.OutputAtUnityHigh),
        new("transition-width", "V", "VIH less VIL", c => c.TransitionWidth),
        new("margin-low", "V", "noise margin low: VIL less the output at VIH", c => c.MarginLow),
        new("margin-high", "V", "noise margin high: the output at VIL less VIH", c => c.MarginHigh),
        new("cut-off-drive", "V", "drive at which the plate current falls to 10 µA", c => c.CutOffDrive),
        new("cut-off-drive-of-full", "V", "drive at which it falls to 1 % of that at VOL", c => c.CutOffDriveOfFull),
        new("grid-current-onset", "V", "drive at which the grid current reaches 0.3 µA", c => c.GridCurrentOnset),
        new("grid-current-onset-upper", "V", "drive at which it reaches 1 µA", c => c.GridCurrentOnsetUpper),
        new("input-current", "A", "grid current at a drive of VOH", c => c.InputCurrentAtHigh),
        new("fold-back-depth", "V", "rise of the output from VOL to the end of the drive", c => c.FoldBackDepth),
        new("fold-back-slope", "1", "mean rise of the output a volt of drive there", c => c.FoldBackSlope),
        new("drive-at-minimum", "V", "drive at VOL, where fold-back begins", c => c.DriveAtMinimum),
        new("saturated-resistance", "Ω", "plate voltage over plate current at VOL", c => c.SaturatedResistance),
        new("plate-current", "A", "plate current at 0 V drive", c => c.PlateCurrentAtZero),
        new("grid-current", "A", "grid current at 0 V drive", c => c.GridCurrentAtZero),
        new("supply", "V", "plate rail while it was swept, mean", c => c.Supply),
    ];
}
