using SweepRig.Domain.Plans;

namespace SweepRig.Sweeps.Planning;

/// <summary>How long things take on the rig's clock.</summary>
internal static class SweepTime
{
    /// <summary>Channels converted for every sample: plate, grid, screen, supply and the read-back of the drive.</summary>
    public const int Channels = 5;
    public const byte ChannelMask = 0b11111;

    /// <summary>Host and link between two passes: supplies, program, start and end. Generous, and used only to ask whether a permit lasts.</summary>
    private static readonly TimeSpan BetweenPasses = TimeSpan.FromMilliseconds(500);

    /// <summary>Choosing the next drives of an adaptive sweep: a fit of all points so far.</summary>
    private static readonly TimeSpan Choosing = TimeSpan.FromSeconds(1);

    /// <summary>Physical floor of one point in microseconds: dwell, then either channels · conversions · conversion time or whole mains periods.</summary>
    public static double PointMicroseconds(SweepPlan plan, int conversionMicroseconds) => plan.DwellMicroseconds + plan.Averaging switch
    {
        Averaging.Count count => (double)Channels * count.Conversions * conversionMicroseconds,
        Averaging.MainsPeriods mains => mains.Periods * 1e6 / mains.Hertz,
        _ => throw new InvalidOperationException($"SweepRig bug: unknown averaging {plan.Averaging}."),
    };

    /// <summary>Longest that a point takes: one that settles at the last moment.</summary>
    public static double LongestPointMicroseconds(SweepPlan plan, int conversionMicroseconds) => PointMicroseconds(plan, conversionMicroseconds) + (plan.Settle?.TimeoutMicroseconds ?? 0);

    public static TimeSpan Floor(double pointMicroseconds, long points) => TimeSpan.FromMicroseconds(pointMicroseconds * points);

    /// <summary>Longest that a run is expected to take once it is warm: each point settles at the last moment, every pass is measured half again.</summary>
    public static TimeSpan Longest(SweepPlan plan, double pointMicroseconds, long points, int passes)
    {
        var settle = plan.Settle?.TimeoutMicroseconds ?? 0;
        return TimeSpan.FromMicroseconds((pointMicroseconds + settle) * points * 1.5) + passes * (plan.Adaptive is null ? BetweenPasses : BetweenPasses + Choosing);
    }
}
