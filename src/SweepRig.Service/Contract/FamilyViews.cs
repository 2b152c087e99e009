using System.Text.Json;
using SweepRig.Analysis.Levels;

namespace SweepRig.Service.Contract;

/// <summary>Plate current over plate voltage at one drive. Volts and amperes.</summary>
/// <param name="PlateVolts">Evenly, ascending: the line as it is drawn between the curves.</param>
/// <param name="ReadVolts">Where a curve was measured.</param>
public sealed record FamilyLineView(double DriveVolts, double[] PlateVolts, double[] PlateAmps, double[] ReadVolts, double[] ReadAmps);

/// <summary>The surface of plate current that runs of a tube make together.</summary>
/// <param name="RunIds">The one of the address first.</param>
/// <param name="Curves">Different rails and plate resistors that it is made of.</param>
/// <param name="Lines">A choice of drives whose lines stand apart, ascending.</param>
public sealed record FamilyView(
    string[] RunIds, CalibrationView Calibration, [property: OneOf("pentode", "triode")] string Connection, int Curves, double LowestDrive, double HighestDrive, FamilyLineView[] Lines);

/// <summary>Where the load line meets the line of a drive. Volts and amperes.</summary>
public sealed record OperatingPointView(double DriveVolts, double PlateVolts, double Uncertainty, double PlateAmps);

/// <summary>What a load line gives on the surface. Volts; null where the line leaves what was measured.</summary>
/// <param name="Uncertainty">Standard uncertainty: readings, what the surface leaves open between its curves, rail and resistor.</param>
/// <param name="CoverageFactor">Times the standard uncertainty for 95 % at a drive.</param>
/// <param name="OperatingPoints">At the drives of the lines.</param>
/// <param name="Outside">Drives at which nothing is said.</param>
/// <param name="Note">What to know of the whole; null for nothing.</param>
/// <param name="Plan">The sweep that checks it, as a plan document.</param>
/// <param name="Check">Against the run that was named; null where none was.</param>
public sealed record FamilyPredictionView(
    string[] RunIds, CalibrationView Calibration, double PlateResistorOhms, double PlateRailVolts, double[] Drive, double?[] Plate, double?[] Uncertainty, double CoverageFactor,
    OperatingPointView[] OperatingPoints, int Outside, string? Note, JsonElement Plan, PredictionCheckView? Check);

/// <summary>Slopes of the tube itself from several runs together, at stated grid voltages; absent with the reason where they do not tell.</summary>
public sealed record SlopesView(string[] RunIds, CalibrationView Calibration, SmallSignalLevels[] SmallSignal);
