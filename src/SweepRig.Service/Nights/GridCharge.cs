using SweepRig.Domain.Plans;
using SweepRig.Domain.Runs;

namespace SweepRig.Service.Nights;

/// <summary>Charge that a run drove into the grid, from its samples.</summary>
public static class GridCharge
{
    /// <summary>Each sample stands for the dwell and conversions of its point. Settling that took longer is not told of by a sample, and counts at its limit.</summary>
    /// <returns>Coulombs, 0 or above.</returns>
    public static double Of(RunHeader header, IReadOnlyList<Curve> curves)
    {
        ArgumentNullException.ThrowIfNull(header);
        ArgumentNullException.ThrowIfNull(curves);
        var plan = header.Plan;
        var measuring = plan.Averaging switch
        {
            Averaging.Count count => 5e-6 * count.Conversions * header.Rig.ConversionMicroseconds,
            Averaging.MainsPeriods mains => (double)mains.Periods / mains.Hertz,
            _ => 0,
        };
        var seconds = plan.DwellMicroseconds * 1e-6 + measuring + (plan.Settle?.TimeoutMicroseconds ?? 0) * 1e-6;
        return seconds * curves.Sum(c => c.GridCurrent.Zip(c.Drive).Sum(s => s.Second > 0 && s.First > 0 ? s.First : 0));
    }
}
