using SweepRig.Domain.Runs;

namespace SweepRig.Analysis.Levels;

/// <summary>What one transfer curve says. Drive and output in volts.</summary>
/// <param name="Pass">The pass it was found in.</param>
/// <param name="HighestOutput">Largest plate voltage.</param>
/// <param name="LowestOutput">Smallest plate voltage.</param>
/// <param name="SwitchingDrive">Drive at the steepest fall.</param>
/// <param name="SwitchingOutput">Plate voltage there.</param>
/// <param name="SwitchingGain">dVplate/dVdrive there, negative, unit 1.</param>
/// <param name="UnityGainLow">Lower drive at which the gain passes -1.</param>
/// <param name="UnityGainHigh">Upper drive at which the gain passes -1 again.</param>
/// <param name="CutOffDrive">Drive at which the plate current falls to <see cref="LevelOptions.CutOffPlateAmps"/>.</param>
/// <param name="GridCurrentOnset">Drive at which the grid current reaches <see cref="LevelOptions.GridOnsetAmps"/>.</param>
/// <param name="FoldBackDepth">Rise of the output from its minimum to the end of the drive; absent ("none") when it does not rise significantly.</param>
/// <param name="DriveAtMinimum">Drive at the lowest output when there is fold-back.</param>
public sealed record CurveLevels(
    PassHeader Pass,
    Figure HighestOutput,
    Figure LowestOutput,
    Figure SwitchingDrive,
    Figure SwitchingOutput,
    Figure SwitchingGain,
    Figure UnityGainLow,
    Figure UnityGainHigh,
    Figure CutOffDrive,
    Figure GridCurrentOnset,
    Figure FoldBackDepth,
    Figure DriveAtMinimum);

/// <param name="CutOffPlateAmps">Plate current that counts as cut off, amperes. US receiving practice is 10 µA; a rail of tens of volts over kilohms and 12 bits asks for more.</param>
/// <param name="GridOnsetAmps">Grid current that counts as onset, amperes.</param>
/// <param name="FoldBackFloorVolts">Least rise that counts as fold-back, volts, however quiet the curve.</param>
public sealed record LevelOptions(double CutOffPlateAmps = 20e-6, double GridOnsetAmps = 20e-6, double FoldBackFloorVolts = 0.02);

/// <param name="Curves">Levels of each curve, in the order of the passes.</param>
/// <param name="UpDownDifference">Largest distance in output between an up and a down pass at the same drive, volts; absent without both.</param>
public sealed record RunLevels(string RunId, LevelOptions Options, IReadOnlyList<CurveLevels> Curves, Figure UpDownDifference);
