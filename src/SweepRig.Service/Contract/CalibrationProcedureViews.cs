using System.Text.Json;

namespace SweepRig.Service.Contract;

/// <summary>The reference meter and what its maker promises: ±(percent of reading + percent of range + counts).</summary>
public sealed record MeterView(
    string Name, string SerialNumber, double PercentOfReading, double RangeVolts, double CountVolts, double PercentOfRange = 0, double Counts = 0, double OhmsPercent = 1);

/// <summary>The fixture by what stands on its resistors and what its rails are set to.</summary>
public sealed record FixtureView(
    double PlateRailVolts = 28, double BiasRailVolts = -14, double HeaterVolts = 6.3, double PlateResistorOhms = 10_000, double ScreenResistorOhms = 100, double GridStopperOhms = 4_700);

/// <summary>Request: begin a calibration of the connected rig.</summary>
/// <param name="TubeOut">True once the tube is out of the socket; nothing begins without.</param>
/// <param name="PositiveUpToVolts">Highest drive to compare; above 0 V a permit must be in force.</param>
/// <param name="Socket">Empty socket where the meter is put, from 0.</param>
public sealed record BeginCalibrationRequest(bool TubeOut, MeterView Meter, string Note = "", double PositiveUpToVolts = 0, FixtureView? Fixture = null, int Socket = 0);

/// <summary>Request: a reading of the meter.</summary>
/// <param name="Value">Volts, or ohms for a resistor; null takes it from the practice meter of the simulated rig.</param>
public sealed record CalibrationReadingRequest(string Step, double? Value = null);

public sealed record CalibrationStepRequest(string Step);

/// <summary>Request: check or keep a calibration.</summary>
/// <param name="Calibration">A calibration document, or its text as it stands in a file; then faults of the text come with line and column.</param>
public sealed record ImportCalibrationRequest(JsonElement Calibration);

/// <summary>A calibration document that would be kept.</summary>
/// <param name="Kept">It is on record already.</param>
/// <param name="WouldBeUsed">The rig would work on it; false when there is a better one, newer or not yet stale.</param>
public sealed record CheckedCalibrationView(string RigSerialNumber, CalibrationView Calibration, bool Kept, bool WouldBeUsed);

/// <param name="Kind"><c>point</c>, <c>resistor</c>, <c>rail</c>, <c>review</c> or <c>store</c>.</param>
/// <param name="Instruction">What to do, one or two sentences.</param>
/// <param name="Expected">What a rig without errors would show; null where nothing is read.</param>
/// <param name="Holds">The rig holds something for this step.</param>
/// <param name="Value">As read; null before.</param>
public sealed record CalibrationStepView(
    string Id, [property: OneOf("point", "resistor", "rail", "review", "store")] string Kind, string Instruction, double? Expected, string Unit, bool Holds, bool Positive, bool Check, bool Done, double? Value);

/// <param name="Uncertainty">Standard uncertainty at the middle of the points, volts, meter included.</param>
/// <param name="ExpandedVolts">95 % at the far end of the points.</param>
/// <param name="Residuals">Meter less correction, volts, by step.</param>
public sealed record CalibrationFitView(
    string Name, double Gain, double OffsetVolts, double CubicVolts, bool HasCubicTerm, double Uncertainty, double ExpandedVolts, double ResidualVolts, CalibrationResidualView[] Residuals);

public sealed record CalibrationResidualView(string Step, double Volts);

/// <param name="ExpandedVolts">What the two may differ by.</param>
public sealed record CalibrationCheckView(string Step, string Name, double CorrectedVolts, double MeterVolts, double ExpandedVolts, bool Passed);

/// <summary>A calibration under way.</summary>
/// <param name="Current">Id of the next step.</param>
/// <param name="Held">Id of the step that is held now; null for none.</param>
/// <param name="Fits">Empty until all points are read.</param>
public sealed record CalibrationProcedureView(
    string RigSerialNumber, string BegunUtc, MeterView Meter, string Note, double PositiveUpToVolts, string Current, int Done, int Steps, string? Held,
    CalibrationStepView[] AllSteps, CalibrationFitView[] Fits, CalibrationCheckView[] Checks);

/// <summary>Where a rig stands with its calibration.</summary>
/// <param name="Practice">True where a practice meter can read the rig, which is simulated.</param>
/// <param name="Cautions">To be read before anything is begun.</param>
public sealed record CalibrationStatusView(CalibrationView? InUse, CalibrationProcedureView? Procedure, bool Practice, string[] Cautions);

public sealed record CalibrationListView(CalibrationListItem[] Calibrations);

public sealed record CalibrationListItem(string RigSerialNumber, CalibrationView Calibration);
