using SweepRig.Analysis.Models;
using SweepRig.Domain.Tubes;

namespace SweepRig.Analysis.Laws;

/// <summary>One constant of a plain law.</summary>
/// <param name="Symbol">As it is printed with the law.</param>
/// <param name="Figure">Value with standard uncertainty; absent with the reason when the runs do not determine it.</param>
public sealed record LawConstant(string Symbol, Figure Figure);

/// <summary>A plain law fitted to the runs of a tube. Without <see cref="Constants"/> there was no fit, and the findings say why.</summary>
/// <param name="Law">Which.</param>
/// <param name="Connection">The runs that it describes.</param>
/// <param name="Findings">What speaks against it or must be known.</param>
/// <param name="Constants">In the order of the law's printed form; empty without a fit.</param>
/// <param name="Scale">Scatter of the residuals against that of the readings: 1 where the law describes them, well above for most tubes at tens of volts.</param>
/// <param name="OutputRmsVolts">Root mean square of what is left over of the output, wild readings left out. Unit: V.</param>
/// <param name="Residuals">What is left over, channel by channel, at the points that the law speaks of.</param>
public sealed record LawFit(
    PlainLaw Law,
    ConnectionKind Connection,
    IReadOnlyList<FitFinding> Findings,
    IReadOnlyList<LawConstant> Constants,
    double Scale,
    double OutputRmsVolts,
    IReadOnlyList<PassResiduals> Residuals)
{
    public bool IsFitted => Constants.Count > 0;

    /// <summary>All constants, those that the runs do not determine too: together they draw the curve. Empty without a fit.</summary>
    internal double[] Values { get; init; } = [];

    /// <summary>Plate current of the fitted law; NaN without a fit. Unit: A.</summary>
    /// <param name="vg2">Screen voltage; of no consequence in triode connection.</param>
    public double PlateCurrent(double vp, double vg, double vg2 = 0) => IsFitted ? LawForm.Of(Law).Plate(Values, vp, vg, vg2) : double.NaN;

    /// <summary>Screen current of the fitted law; NaN without a fit and in triode connection. Unit: A.</summary>
    public double ScreenCurrent(double vg, double vg2) => IsFitted && LawForm.Of(Law).Screen is { } screen ? screen(Values, vg, vg2) : double.NaN;

    internal static LawFit None(PlainLaw law, IReadOnlyList<FitFinding> findings) => new(law, LawForm.Of(law).Connection, findings, [], double.NaN, double.NaN, []);
}
