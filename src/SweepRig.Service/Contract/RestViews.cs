using System.Text.Json;
using SweepRig.Analysis;
using SweepRig.Analysis.Levels;

namespace SweepRig.Service.Contract;

/// <summary>Request: start a run.</summary>
/// <param name="Plan">A sweep plan document.</param>
/// <param name="Socket">From 0.</param>
public sealed record StartRunRequest(JsonElement Plan, TubeView Tube, int Socket = 0);

/// <summary>Request: check a plan.</summary>
public sealed record CheckPlanRequest(JsonElement Plan, TubeView? Tube = null, int Socket = 0);

/// <param name="FloorSeconds">Physical floor of the sweep time.</param>
/// <param name="Limits">Limits of the tube's type that the plan was held to.</param>
public sealed record CheckedPlanView(PassView[] Passes, double CeilingVolts, bool NeedsPermit, double FloorSeconds, TypeLimitView[] Limits);

/// <summary>A limit of a tube's type.</summary>
/// <param name="What">What is limited.</param>
/// <param name="Watts">At most this.</param>
/// <param name="Because">Why it is less than the table says; null where it is not.</param>
public sealed record TypeLimitView(string What, double Watts, string? Because);

/// <summary>Request: allow positive drive for a while.</summary>
public sealed record PermitRequest(double CeilingVolts, double DurationSeconds, string Reason);

public sealed record HeaterRequest(bool On, double? Volts = null);

public sealed record SafeRequest(string? Reason = null);

/// <param name="State"><c>running</c>, <c>complete</c>, <c>stopped</c>, <c>tripped</c> or <c>incomplete</c>.</param>
public sealed record RunView(
    string Id,
    string StartedUtc,
    string? EndedUtc,
    [property: OneOf("running", "complete", "stopped", "tripped", "incomplete")] string State,
    TubeView Tube,
    int Socket,
    string PlanName,
    [property: OneOf("pentode", "triode")] string Connection,
    double DriveStart,
    double DriveStop,
    double PlateRail,
    PassView[] Passes,
    long Samples,
    bool Calibrated,
    CalibrationView Calibration,
    string SoftwareVersion,
    string RigSerialNumber,
    PermitView? Permit,
    TripView[] Trips,
    GapView[] Gaps,
    JsonElement Plan)
{
    /// <summary>The screening that it is a step of; null for a sweep.</summary>
    public required ScreeningStepView? Screening { get; init; }
}

/// <param name="ScreeningId">The same for all steps of a screening.</param>
/// <param name="Step">Kebab-case, for example <c>cold-rail-on</c>.</param>
public sealed record ScreeningStepView(string ScreeningId, string Step);

public sealed record GapView(int Pass, int FirstPoint, int Points, string Reason);

public sealed record RunListView(RunView[] Runs, string? OlderThan);

/// <summary>One pass in volts and amperes, each column with its standard uncertainties. A missing point is null in every column.</summary>
public sealed record CurveView(
    PassView Pass,
    double?[] Drive,
    double?[] Plate,
    double?[] Grid,
    double?[] Screen,
    double?[] Supply,
    double?[] GridCurrent,
    double?[] ScreenCurrent,
    double?[] PlateCurrent,
    double?[] PlateUncertainty)
{
    public required double?[] DriveUncertainty { get; init; }
    public required double?[] GridUncertainty { get; init; }
    public required double?[] ScreenUncertainty { get; init; }
    public required double?[] SupplyUncertainty { get; init; }
    public required double?[] GridCurrentUncertainty { get; init; }
    public required double?[] ScreenCurrentUncertainty { get; init; }
    public required double?[] PlateCurrentUncertainty { get; init; }
}

/// <param name="Calibration">That these volts were derived with; not always the one that the run was measured with.</param>
public sealed record CurvesView(string RunId, CalibrationView Calibration, CurveView[] Curves);

public sealed record CurveLevelsView(
    PassView Pass,
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
    Figure DriveAtMinimum)
{
    public required Figure OutputAtUnityLow { get; init; }
    public required Figure OutputAtUnityHigh { get; init; }
    public required Figure TransitionWidth { get; init; }
    public required Figure CutOffDriveOfFull { get; init; }
    public required Figure GridCurrentOnsetUpper { get; init; }
    public required Figure CathodeTemperature { get; init; }
    public required Figure InputCurrentAtHigh { get; init; }
    public required Figure FoldBackSlope { get; init; }
    public required Figure SaturatedResistance { get; init; }
    public required Figure MarginLow { get; init; }
    public required Figure MarginHigh { get; init; }
}

/// <param name="CutOffFraction">Part of the full plate current that counts as cut off in <c>cutOffDriveOfFull</c>.</param>
/// <param name="GridOnsetUpperAmps">Grid current of <c>gridCurrentOnsetUpper</c>.</param>
/// <param name="Repeatability">Standard deviations over the repeats.</param>
/// <param name="SmallSignal">Slopes of the tube itself, at stated grid voltages; absent with the reason where the run cannot tell them.</param>
public sealed record RunLevelsView(
    string RunId, CalibrationView Calibration, double CutOffPlateAmps, double GridOnsetAmps, CurveLevelsView[] Curves, Figure UpDownDifference,
    double CutOffFraction, double GridOnsetUpperAmps, Repeatability Repeatability, SmallSignalLevels[] SmallSignal);

/// <summary>A page of a run's samples in the order recorded.</summary>
/// <param name="Calibration">That these volts were derived with; not always the one that the run was measured with.</param>
/// <param name="NextSequence">Where the next page starts; null when this one reaches what is recorded so far.</param>
public sealed record LiveBlocksView(string RunId, CalibrationView Calibration, LiveBlockView[] Blocks, long? NextSequence);

public sealed record PlanExampleView(string Name, string Explains, JsonElement Plan);

/// <summary>An error as RFC 9457 has it.</summary>
/// <param name="Type">URI reference of the kind of problem, relative to this service.</param>
/// <param name="Detail">One line for people.</param>
/// <param name="Refusals">Every reason; empty when the problem is none of what was asked.</param>
public sealed record ProblemView(string Type, string Title, int Status, string Detail, RefusalView[] Refusals);

/// <summary>One reason why something asked for is not done.</summary>
/// <param name="Code">Stable, kebab-case.</param>
/// <param name="Path">Where in the document or request, as a JSON Pointer (RFC 6901); empty for the whole.</param>
/// <param name="Asked">What was asked, with value and unit.</param>
/// <param name="Allowed">What is allowed, with limit and unit.</param>
/// <param name="Remedy">What to do next.</param>
public sealed record RefusalView(string Code, string Path, string Asked, string Allowed, string Remedy);
