using SweepRig.Domain.Plans;
using SweepRig.Domain.Rigs;

namespace SweepRig.Sweeps.Planning;

/// <summary>
/// DAC codes of a plan's lowest and highest drive. Limits are kept both in the rig's nominal volts, which its firmware enforces, and in
/// calibrated volts, which are nearer the truth: the tighter of the two holds. Ceilings round down and floors round up.
/// </summary>
/// <param name="Low">Code of the lowest drive.</param>
/// <param name="High">Code of the highest drive.</param>
internal readonly record struct DriveCodes(int Low, int High)
{
    /// <summary>Codes lost to rounding are below one step at each end.</summary>
    public static DriveCodes Of(SweepPlan plan, RigIdentity rig, RigCalibration calibration, RigLimits limits)
    {
        var scale = rig.Drive;
        var low = Math.Max(scale.ToCode(new(Nominal(calibration, plan.Start.Value))), AtOrAbove(scale, limits.DriveFloor.Value));
        var high = Math.Min(scale.ToCodeAtOrBelow(plan.Stop), scale.ToCodeAtOrBelow(new(Nominal(calibration, plan.Stop.Value))));
        return new(low, Math.Min(high, scale.ToCodeAtOrBelow(limits.DriveCeiling)));
    }

    /// <summary>The highest code that is not above 0 V, neither nominally nor after calibration.</summary>
    public static int NotPositive(RigIdentity rig, RigCalibration calibration) =>
        Math.Min(rig.Drive.ToCodeAtOrBelow(new(0)), rig.Drive.ToCodeAtOrBelow(new(Nominal(calibration, 0))));

    private static double Nominal(RigCalibration calibration, double volts) => calibration.Drive.Invert(volts);

    private static int AtOrAbove(DriveScale scale, double volts)
    {
        var code = scale.ToCodeAtOrBelow(new(volts));
        return code < scale.MaxCode && scale.ToVolts(code) < volts - 1e-9 * scale.StepVolts ? code + 1 : code;
    }
}
