using SweepRig.Analysis.Studies;
using SweepRig.Domain.Runs;
using SweepRig.Sweeps.Planning;

namespace SweepRig.Sweeps.Queue;

/// <summary>What a run took of a night's limit on positive charge, from its samples.</summary>
public static class ChargeUsed
{
    /// <returns>Coulombs, 0 or above.</returns>
    public static double Of(RunHeader header, IReadOnlyList<Curve> curves)
    {
        ArgumentNullException.ThrowIfNull(header);
        ArgumentNullException.ThrowIfNull(curves);
        var longest = SweepTime.LongestPointMicroseconds(header.Plan, header.Rig.ConversionMicroseconds) * 1e-6;
        return curves.Sum(c => GridCharge.Of(c, longest).Value ?? 0);
    }
}
