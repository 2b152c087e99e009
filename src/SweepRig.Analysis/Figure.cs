namespace SweepRig.Analysis;

/// <summary>A number as it is shown: value, unit, uncertainty; or the reason why there is none.</summary>
/// <param name="Value">In <paramref name="Unit"/>; null when the quantity does not exist on this curve.</param>
/// <param name="Unit">SI symbol, for example <c>V</c>; <c>1</c> for a ratio.</param>
/// <param name="Uncertainty">Standard uncertainty in the same unit; null when it was not estimated.</param>
/// <param name="Mark">Why the number deserves caution, for people; null when nothing speaks against it.</param>
/// <param name="AbsentBecause">Why there is no value; null when there is one.</param>
public sealed record Figure(double? Value, string Unit, double? Uncertainty, string? Mark, string? AbsentBecause)
{
    public static Figure Of(double value, string unit, double? uncertainty, string? mark = null) => new(value, unit, uncertainty, mark, null);

    public static Figure None(string unit, string because) => new(null, unit, null, null, because);
}
