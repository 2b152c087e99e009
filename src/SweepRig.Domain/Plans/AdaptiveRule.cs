using SweepRig.Domain.Quantities;

namespace SweepRig.Domain.Plans;

/// <summary>
/// Points go where they tell most about the switching point: a first pass of few even points, then short passes at chosen drives, until the switching point is
/// known well enough or the points of the plan are used up.
/// </summary>
/// <param name="SwitchingUncertainty">Standard uncertainty of the switching point, as the rig reads it, that is enough; above 0.</param>
/// <param name="FirstPoints">Even points of the first pass.</param>
/// <param name="BatchPoints">Points of each further pass.</param>
public sealed record AdaptiveRule(Volts SwitchingUncertainty, int FirstPoints, int BatchPoints)
{
    public const double LeastVolts = 1e-6, MostVolts = 1;

    public const int LeastFirst = 12;

    /// <summary>
    /// Of 12, 16 and 24 first points and batches of 2 and 4 these reached the uncertainty of an even sweep of 192 with the fewest points in the worst of 48 simulated
    /// sweeps (64; 24 and 4 took 72), and in 96 others took 64 at most. Fewer than 16 cannot be fitted: the first batch then halves the widest gaps.
    /// </summary>
    public const int DefaultFirst = 12, DefaultBatch = 4;

    /// <summary>A rig's program has room for so many single drives.</summary>
    public const int MostBatch = 64;

    /// <summary>Points of all passes together: each pass is a fit of all points so far.</summary>
    public const int MostPoints = 1_000;

    /// <summary>Points of the passes of a plan of so many points, in order.</summary>
    public IEnumerable<int> Passes(int points)
    {
        yield return FirstPoints;
        for (var left = points - FirstPoints; left > 0; left -= BatchPoints) yield return Math.Min(left, BatchPoints);
    }
}
