using SweepRig.Domain.Quantities;
using SweepRig.Domain.Tubes;

namespace SweepRig.Domain.Plans;

public enum SweepDirection
{
    Up,
    Down,
    UpAndDown,
}

/// <summary>What to do with the drive, and in which connection. Valid by construction only through <c>PlanDocument</c>.</summary>
/// <param name="Name">For people; 1 to 80 characters.</param>
/// <param name="Start">Lowest drive. </param>
/// <param name="Stop">Highest drive, above <paramref name="Start"/>.</param>
/// <param name="Points">Points in a pass, <see cref="PlanLimits.MinPoints"/> to <see cref="PlanLimits.MaxPoints"/>; of an adaptive sweep the most of all passes together.</param>
/// <param name="Direction">Order in which the drive is stepped.</param>
/// <param name="DwellMicroseconds">Wait at each point before it is measured.</param>
/// <param name="Averaging">How conversions are averaged into a sample.</param>
/// <param name="Settle">Settling rule applied after the dwell; null measures straight away.</param>
/// <param name="Repeats">How often the passes are repeated, 1 or more.</param>
/// <param name="SecondSource">A second source that is stepped from pass to pass, giving a family; null for none.</param>
/// <param name="Connection">How the tube is wired.</param>
public sealed record SweepPlan(
    string Name,
    Volts Start,
    Volts Stop,
    int Points,
    SweepDirection Direction,
    int DwellMicroseconds,
    Averaging Averaging,
    SettleRule? Settle,
    int Repeats,
    SecondSource? SecondSource,
    Connection Connection)
{
    /// <summary>Where the points go; null for evenly apart. Only with direction up, one repeat and no second source.</summary>
    public AdaptiveRule? Adaptive { get; init; }
}
