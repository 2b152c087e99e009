using SweepRig.Analysis.Uncertainty;

namespace SweepRig.Analysis;

/// <summary>A number as it is shown: value, unit, uncertainty; or the reason why there is none.</summary>
/// <param name="Value">In <paramref name="Unit"/>; null when the quantity does not exist on this curve.</param>
/// <param name="Unit">SI symbol, for example <c>V</c>; <c>1</c> for a ratio.</param>
/// <param name="Uncertainty">Standard uncertainty in the same unit; null when it was not estimated.</param>
/// <param name="Mark">Why the number deserves caution, for people; null when nothing speaks against it.</param>
/// <param name="AbsentBecause">Why there is no value; null when there is one.</param>
public sealed record Figure(double? Value, string Unit, double? Uncertainty, string? Mark, string? AbsentBecause)
{
    /// <summary>
    /// Standard uncertainties that the interval of 95 % reaches to either side, dimensionless; null where no uncertainty was estimated. 2 unless something better
    /// is known (JCGM 100:2008, 6.3.3).
    /// </summary>
    public double? CoverageFactor { get; init; } = Uncertainty is null ? null : 2;

    /// <summary>Half width of the interval that holds the true value with 95 % probability, in the unit; null where no uncertainty was estimated.</summary>
    public double? ExpandedUncertainty => Uncertainty * CoverageFactor;

    /// <summary>What the uncertainty is made of; null where it was not asked for or is not known.</summary>
    public IReadOnlyList<Contribution>? Budget { get; init; }

    public static Figure Of(double value, string unit, double? uncertainty, string? mark = null) => new(value, unit, uncertainty, mark, null);

    public static Figure None(string unit, string because) => new(null, unit, null, null, because);
}
