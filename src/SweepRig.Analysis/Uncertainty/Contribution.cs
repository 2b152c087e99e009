namespace SweepRig.Analysis.Uncertainty;

/// <summary>A line of a budget: what one source of error does to a result.</summary>
/// <param name="Name">The source, for people.</param>
/// <param name="StandardUncertainty">Of the source, in its own unit, 0 or more.</param>
/// <param name="Unit">Of the source.</param>
/// <param name="Sensitivity">Change of the result for one unit of the source.</param>
/// <param name="Shape">Distribution of the source.</param>
/// <param name="DegreesOfFreedom">Of its standard uncertainty; null where it is known as it stands.</param>
public sealed record Contribution(
    string Name, double StandardUncertainty, string Unit, double Sensitivity, ErrorShape Shape = ErrorShape.Normal, double? DegreesOfFreedom = null)
{
    /// <summary>In the unit of the result; the sign is that of the sensitivity.</summary>
    public double Part => Sensitivity * StandardUncertainty;
}
