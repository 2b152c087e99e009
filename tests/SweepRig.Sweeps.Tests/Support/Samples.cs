using SweepRig.Domain;
using SweepRig.Domain.Plans;
using SweepRig.Domain.Quantities;
using SweepRig.Domain.Rigs;
using SweepRig.Domain.Tubes;
using SweepRig.Sweeps.Running;

namespace SweepRig.Sweeps.Tests.Support;

/// <summary>A rig, a tube and plans as the tests use them.</summary>
internal static class Samples
{
    public static RigIdentity Rig { get; } = new(
        1, "test 1.0", "test board", "TEST-1", 4,
        Supplies.Heater | Supplies.PlateRail | Supplies.PlateRailAdjustable | Supplies.HeaterAdjustable,
        new DriveScale(12, new(-16), new(32)),
        [
            new(RigChannel.Plate, 12, 4, new(0), new(40.95)),
            new(RigChannel.Grid, 12, 4, new(-20.48), new(20.47)),
            new(RigChannel.Screen, 12, 4, new(0), new(40.95)),
            new(RigChannel.Supply, 12, 4, new(0), new(40.95)),
            new(RigChannel.Drive, 12, 4, new(-20.48), new(40.945)),
        ],
        new RigLimits(new(-14), new(26), new Amps(8e-3), new Amps(30e-3), new(0), new(40), 40),
        300, 16, ResetReason.PowerOn);

    public static Tube Tube { get; } = new("SKUA-014", "6AU6", "Skua");

    public static SweepPlan Gentle { get; } = PlanExamples.GentlePentode.Plan with { Points = 29 };

    public static SweepPlan FarPositive { get; } = PlanExamples.FarPositivePentode.Plan with { Points = 39 };

    public static SweepRequest Request(SweepPlan plan, int socket = 0) => new(plan, Tube, socket);
}
