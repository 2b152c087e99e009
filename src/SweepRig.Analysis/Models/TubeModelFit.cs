using SweepRig.Analysis.Fitting;
using SweepRig.Domain.Measurement;
using SweepRig.Tubes.Model;

namespace SweepRig.Analysis.Models;

/// <summary>What is to be thought of a fit.</summary>
public enum ModelFitStatus
{
    /// <summary>The model describes the readings to within their scatter; constants and intervals may be used.</summary>
    Good,

    /// <summary>There are numbers, but a finding speaks against relying on them.</summary>
    Doubtful,

    /// <summary>There are no numbers; the findings say why and what to do.</summary>
    Refused,
}

/// <summary>Something that a person must know about a fit.</summary>
/// <param name="Code">Stable kebab-case identifier, for example <c>wrong-connection</c>.</param>
/// <param name="Says">What was found, with numbers.</param>
/// <param name="Remedy">What to do.</param>
public sealed record FitFinding(string Code, string Says, string Remedy);

/// <summary>How an interval was found.</summary>
public enum IntervalMethod
{
    /// <summary>The sum of squares is a parabola there to within a tenth; the interval is symmetric in the coordinate.</summary>
    Parabola,

    /// <summary>The sum of squares was followed by refitting all other constants (profile likelihood).</summary>
    Profile,
}

/// <summary>What would determine a constant that the runs so far do not.</summary>
/// <param name="Sweep">The least sweep of the usual ones that would; null when none would.</param>
/// <param name="Says">The same for people, with the uncertainty to be expected.</param>
public sealed record NeededSweep(PlannedSweep? Sweep, string Says);

/// <summary>One constant of a fitted tube.</summary>
/// <param name="Constant">Which.</param>
/// <param name="Figure">Value with standard uncertainty; absent with the reason when the data do not determine it.</param>
/// <param name="Low">Lower end of the 95 % interval, in the unit of the figure; null when not determined.</param>
/// <param name="High">Upper end.</param>
/// <param name="Method">How the interval was found.</param>
/// <param name="NeededSweep">For a constant that is not determined: which extra sweep would determine it; null otherwise.</param>
public sealed record FittedConstant(TubeParameter Constant, Figure Figure, double? Low, double? High, IntervalMethod Method, NeededSweep? NeededSweep)
{
    public bool IsDetermined => Figure.Value is not null;
}

/// <summary>What a fit leaves over of one channel of one pass.</summary>
/// <param name="Run">Name of the run.</param>
/// <param name="Pass">Index of the pass in it.</param>
/// <param name="Place">Channel.</param>
/// <param name="Drive">Volts, one a usable point.</param>
/// <param name="Residual">Model less reading in units of the scatter.</param>
/// <param name="ScatterVolts">Standard deviation of a single reading that the residuals are counted in.</param>
/// <param name="Wild">True for a reading that was left out because it lies far from all others.</param>
public sealed record PassResiduals(string Run, int Pass, VoltagePlace Place, double[] Drive, double[] Residual, double ScatterVolts, bool[] Wild);

/// <summary>Where the model was seen to hold: predictions beyond are extrapolations.</summary>
/// <param name="LowestDrive">Volts.</param>
/// <param name="HighestDrive">Volts.</param>
/// <param name="LowestRail">Volts.</param>
/// <param name="HighestRail">Volts.</param>
/// <param name="LowestPlate">Volts.</param>
/// <param name="HighestCathodeAmps">Largest cathode current of the model at the points fitted, amperes.</param>
public sealed record ValidRange(double LowestDrive, double HighestDrive, double LowestRail, double HighestRail, double LowestPlate, double HighestCathodeAmps);

/// <summary>
/// A tube as its runs show it. Read <see cref="Status"/> and <see cref="Findings"/> first: a refused fit has no <see cref="Tube"/>, and a constant that the data do
/// not determine has no number in <see cref="Constants"/> (in <see cref="Tube"/> it then stands at what is typical, for drawing and simulating).
/// </summary>
/// <param name="Status">What is to be thought of it.</param>
/// <param name="Findings">Everything that speaks against it or must be known; empty when nothing does.</param>
/// <param name="Tube">The constants to reckon with; null when refused.</param>
/// <param name="Constants">Every constant of <see cref="TubeCoordinates.All"/>; empty when refused.</param>
/// <param name="Covariance">Of the coordinates of the tube, row after row, calibration and resistors included; those not determined lean on what is typical.</param>
/// <param name="Scale">Scatter of the residuals against what the readings themselves show: 1 for a model that describes them.</param>
/// <param name="Readings">Readings fitted, wild ones left out.</param>
/// <param name="WildReadings">Readings left out.</param>
/// <param name="Starts">Starts tried.</param>
/// <param name="AgreeingStarts">Starts that led to the same fit.</param>
/// <param name="Residuals">What the fit leaves over, channel by channel.</param>
/// <param name="Range">Where it was seen to hold; null when refused.</param>
public sealed record TubeModelFit(
    ModelFitStatus Status,
    IReadOnlyList<FitFinding> Findings,
    TubeParameters? Tube,
    IReadOnlyList<FittedConstant> Constants,
    double[] Covariance,
    double Scale,
    int Readings,
    int WildReadings,
    int Starts,
    int AgreeingStarts,
    IReadOnlyList<PassResiduals> Residuals,
    ValidRange? Range)
{
    /// <summary>The fit of the engine; null when refused.</summary>
    internal Fit? Engine { get; init; }

    /// <summary>Residuals that were left out of it.</summary>
    internal IReadOnlyList<int> Wild { get; init; } = [];

    /// <summary>Its problem; null when refused.</summary>
    internal TubeProblem? Problem { get; init; }

    /// <summary>A constant by name.</summary>
    public FittedConstant Of(TubeParameter constant) => Constants[(int)constant];

    internal static TubeModelFit Refused(IReadOnlyList<FitFinding> findings) =>
        new(ModelFitStatus.Refused, findings, null, [], [], double.NaN, 0, 0, 0, 0, [], null);
}

/// <summary>How a tube is fitted.</summary>
public sealed record TubeFitOptions
{
    /// <summary>The type's example, where it has one: the fit begins there, and constants that nothing tells stay there. Null for a typical small pentode.</summary>
    public TubeParameters? Typical { get; init; }

    /// <summary>Most starts. Default 3: the typical tube, a weaker and a stronger one; ends when two agree.</summary>
    public int Starts { get; init; } = 3;

    /// <summary>Ends the fit, and all that is later worked out with it, with <see cref="OperationCanceledException"/>; looked at before each evaluation of the model.</summary>
    public CancellationToken Cancellation { get; init; }
}
