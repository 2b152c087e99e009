using SweepRig.Domain.Runs;

namespace SweepRig.Analysis.Levels;

/// <summary>What one transfer curve says. Drive and output in volts. Each figure has a value with uncertainty and budget, or says why it does not exist here.</summary>
/// <param name="Pass">The pass it was found in.</param>
public sealed record CurveLevels(PassHeader Pass)
{
    /// <summary>VOH, steady: largest plate voltage.</summary>
    public required Figure HighestOutput { get; init; }

    /// <summary>VOL, steady: smallest plate voltage.</summary>
    public required Figure LowestOutput { get; init; }

    /// <summary>Drive at the steepest fall.</summary>
    public required Figure SwitchingDrive { get; init; }

    /// <summary>Plate voltage there.</summary>
    public required Figure SwitchingOutput { get; init; }

    /// <summary>Peak gain: dVplate/dVdrive there, negative, unit 1.</summary>
    public required Figure SwitchingGain { get; init; }

    /// <summary>VIL: lower drive at which the gain passes -1.</summary>
    public required Figure UnityGainLow { get; init; }

    /// <summary>VIH: upper drive at which the gain passes -1 again.</summary>
    public required Figure UnityGainHigh { get; init; }

    /// <summary>Plate voltage at the lower unity-gain point.</summary>
    public required Figure OutputAtUnityLow { get; init; }

    /// <summary>Plate voltage at the upper unity-gain point.</summary>
    public required Figure OutputAtUnityHigh { get; init; }

    /// <summary>VIH less VIL.</summary>
    public required Figure TransitionWidth { get; init; }

    /// <summary>Drive at which the plate current falls to <see cref="LevelOptions.CutOffPlateAmps"/>.</summary>
    public required Figure CutOffDrive { get; init; }

    /// <summary>Drive at which the plate current falls to <see cref="LevelOptions.CutOffFraction"/> of that at the lowest output.</summary>
    public required Figure CutOffDriveOfFull { get; init; }

    /// <summary>Drive at which the grid current reaches <see cref="LevelOptions.GridOnsetAmps"/>.</summary>
    public required Figure GridCurrentOnset { get; init; }

    /// <summary>Drive at which the grid current reaches <see cref="LevelOptions.GridOnsetUpperAmps"/>.</summary>
    public required Figure GridCurrentOnsetUpper { get; init; }

    /// <summary>Temperature of the cathode by the slope of small grid currents, kelvin; absent where the noise or the steps do not tell it.</summary>
    public required Figure CathodeTemperature { get; init; }

    /// <summary>Grid current when the drive is VOH, amperes: what a gate like this one has to deliver to the next.</summary>
    public required Figure InputCurrentAtHigh { get; init; }

    /// <summary>Rise of the output from its minimum to the end of the drive; absent ("none") when it does not rise significantly.</summary>
    public required Figure FoldBackDepth { get; init; }

    /// <summary>Fold-back onset: drive at the lowest output when there is fold-back.</summary>
    public required Figure DriveAtMinimum { get; init; }

    /// <summary>Mean rise of the output a volt of drive from the onset to the end, unit 1.</summary>
    public required Figure FoldBackSlope { get; init; }

    /// <summary>Plate voltage over plate current at the lowest output, ohms.</summary>
    public required Figure SaturatedResistance { get; init; }

    /// <summary>Plate current at 0 V drive, amperes.</summary>
    public required Figure PlateCurrentAtZero { get; init; }

    /// <summary>Current into the grid at 0 V drive, amperes.</summary>
    public required Figure GridCurrentAtZero { get; init; }

    /// <summary>Plate rail, mean over the sweep, volts.</summary>
    public required Figure Supply { get; init; }

    /// <summary>Noise margin low of gates coupled directly: VIL less the output at VIH, volts.</summary>
    public required Figure MarginLow { get; init; }

    /// <summary>Noise margin high of gates coupled directly: the output at VIL less VIH, volts.</summary>
    public required Figure MarginHigh { get; init; }
}

/// <param name="CutOffPlateAmps">Plate current that counts as cut off, amperes: 10 µA is the practice of US receiving-tube data sheets.</param>
/// <param name="GridOnsetAmps">Grid current that counts as onset, amperes: 0.3 µA is the practice of European data sheets (from memory).</param>
/// <param name="FoldBackFloorVolts">Least rise that counts as fold-back, volts, however quiet the curve.</param>
public sealed record LevelOptions(double CutOffPlateAmps = 10e-6, double GridOnsetAmps = 0.3e-6, double FoldBackFloorVolts = 0.02)
{
    /// <summary>Part of the full plate current that counts as cut off, 0 to 1.</summary>
    public double CutOffFraction { get; init; } = 0.01;

    /// <summary>A second grid current that counts as onset, amperes.</summary>
    public double GridOnsetUpperAmps { get; init; } = 1e-6;

    /// <summary>Grid voltages at which transconductance, plate resistance and amplification factor are stated, volts.</summary>
    public IReadOnlyList<double> GridPoints { get; init; } = [-1, 0];
}
