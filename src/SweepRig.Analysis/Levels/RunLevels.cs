namespace SweepRig.Analysis.Levels;

/// <param name="Curves">Levels of each curve, in the order of the passes.</param>
/// <param name="UpDownDifference">Largest distance in output between an up and a down pass at the same drive, volts; absent without both.</param>
/// <param name="Repeatability">How well repeats agree.</param>
/// <param name="SmallSignal">Transconductance, plate resistance and amplification factor at each of <see cref="LevelOptions.GridPoints"/>.</param>
public sealed record RunLevels(
    string RunId, LevelOptions Options, IReadOnlyList<CurveLevels> Curves, Figure UpDownDifference, Repeatability Repeatability,
    IReadOnlyList<SmallSignalLevels> SmallSignal);

/// <summary>Standard deviations over the repeats of a run, after JCGM 100:2008, 4.2 and B.2.15. Absent where there is a single repeat.</summary>
/// <param name="Output">Of the output at equal drive, root mean square over the curve, volts.</param>
/// <param name="SwitchingDrive">Of the switching drive, volts.</param>
/// <param name="LowestOutput">Of the lowest output, volts.</param>
public sealed record Repeatability(Figure Output, Figure SwitchingDrive, Figure LowestOutput);

/// <summary>Slopes of the plate current of the tube itself at a point.</summary>
/// <param name="GridVolts">Grid voltage of the point.</param>
/// <param name="PlateVolts">Plate voltage of the point: the middle of the curves that it is read off; absent with the others.</param>
/// <param name="Transconductance">dIp/dVg at constant plate voltage, siemens.</param>
/// <param name="PlateResistance">dVp/dIp at constant grid voltage, ohms.</param>
/// <param name="Mu">Amplification factor, their product, unit 1.</param>
public sealed record SmallSignalLevels(double GridVolts, Figure PlateVolts, Figure Transconductance, Figure PlateResistance, Figure Mu);
