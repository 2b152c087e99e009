using System.Text.Json;
using SweepRig.Analysis;

namespace SweepRig.Service.Contract;

/// <summary>Something that must be known about a fit.</summary>
/// <param name="Code">Stable, kebab-case.</param>
public sealed record FindingView(string Code, string Says, string Remedy);

/// <summary>A sweep that would tell what the runs so far do not.</summary>
/// <param name="Says">For people.</param>
/// <param name="Plan">A sweep plan document; null where no single sweep would do.</param>
public sealed record NeededSweepView(string Says, bool NeedsPermit, JsonElement? Plan);

/// <param name="Name">Stable, camel case, for example <c>screenMu</c>.</param>
/// <param name="Title">For people.</param>
/// <param name="Figure">Absent, with the reason, when the runs do not determine it.</param>
/// <param name="Low">Lower end of the 95 % interval; null when not determined.</param>
/// <param name="Needed">For one that is not determined: what would.</param>
public sealed record FittedConstantView(string Name, string Title, Figure Figure, double? Low, double? High, NeededSweepView? Needed);

/// <summary>One pass with the fitted curve over it; points in the order measured, null where a point is missing or was not used.</summary>
/// <param name="Fitted">Output that the model gives for the drive, volts.</param>
/// <param name="Residual">Measured less fitted output, volts.</param>
/// <param name="GridResidual">The same of the grid, volts.</param>
/// <param name="ScreenResidual">The same of the screen, volts; all null in triode connection.</param>
/// <param name="ScatterVolts">Standard deviation of a single reading of the output, volts.</param>
/// <param name="Wild">Places of points that were left out because they lie far from all others.</param>
public sealed record FittedPassView(
    string RunId, PassView Pass, double?[] Drive, double?[] Measured, double?[] Fitted, double?[] Residual, double?[] GridResidual, double?[] ScreenResidual,
    double ScatterVolts, int[] Wild);

/// <summary>Where a fit was seen to hold. Volts and amperes.</summary>
public sealed record FitRangeView(double LowestDrive, double HighestDrive, double LowestRail, double HighestRail, double LowestPlate, double HighestCathodeAmps);

/// <summary>A tube as one run of it or several together show it.</summary>
/// <param name="RunIds">The runs fitted, the one of the address first.</param>
/// <param name="Status">Read it first: a refused fit has findings and nothing else.</param>
/// <param name="Says">The status in a sentence.</param>
/// <param name="Scale">Scatter of the residuals against that of the readings: 1 for a model that describes them.</param>
public sealed record FitView(
    string[] RunIds,
    CalibrationView Calibration,
    [property: OneOf("good", "doubtful", "refused")] string Status,
    string Says,
    FindingView[] Findings,
    FittedConstantView[] Constants,
    FittedPassView[] Passes,
    int Readings,
    int WildReadings,
    double? Scale,
    int Starts,
    int AgreeingStarts,
    FitRangeView? Range)
{
    /// <summary>Switching point of the fitted tube in the first run's connection, as its rig reads drives: without what the calibration leaves unknown. Null when refused.</summary>
    public Figure? SwitchingPoint { get; init; }
}

/// <summary>What a bench will read of a fitted tube. Volts.</summary>
/// <param name="RailVolts">Rail that was reckoned with: the one asked for, off by as much as that of the runs was off its plan.</param>
/// <param name="Uncertainty">Standard uncertainty of the curve; constants, calibration, resistors.</param>
/// <param name="CoverageFactor">Times the standard uncertainty for 95 % at a drive.</param>
/// <param name="ScatterVolts">To be expected of a single reading about the curve.</param>
/// <param name="Beyond">Each a sentence: where it leaves what the runs have shown.</param>
/// <param name="Plan">The sweep that checks it, as a plan document.</param>
public sealed record PredictionView(
    string[] RunIds,
    CalibrationView Calibration,
    string FitStatus,
    string FitSays,
    double PlateResistorOhms,
    double PlateRailVolts,
    double RailVolts,
    double[] Drive,
    double[] Plate,
    double[] Uncertainty,
    double CoverageFactor,
    double ScatterVolts,
    string[] Beyond,
    JsonElement Plan);

/// <summary>A measured pass against what was predicted for it; points in the order measured. Volts.</summary>
/// <param name="Uncertainty">Standard uncertainty of the difference.</param>
public sealed record CheckedPredictionPassView(PassView Pass, double[] Drive, double[] Measured, double[] Predicted, double[] Uncertainty);

/// <summary>Whether a prediction held.</summary>
/// <param name="Verdict"><c>held</c>: the whole curve lies within what was stated; <c>edge</c>: somewhere it does not, by no more than chance does to one true prediction in twenty; else <c>failed</c>.</param>
/// <param name="Within">True when the whole curve lies within what was stated.</param>
/// <param name="Says">In a sentence, with numbers.</param>
/// <param name="CoverageFactor">Standard uncertainties within which the whole of a curve stays with 95 % probability.</param>
/// <param name="WorstDeviation">Measured less predicted where it is greatest against its uncertainty, volts.</param>
/// <param name="WorstAllowed">What was stated there, volts.</param>
public sealed record PredictionCheckView(
    string[] RunIds, string CheckedRunId, [property: OneOf("held", "edge", "failed")] string Verdict, bool Within, string Says, double CoverageFactor, double WorstDrive, double WorstDeviation, double WorstAllowed, int Points, int PointsWithin,
    CheckedPredictionPassView[] Passes);
