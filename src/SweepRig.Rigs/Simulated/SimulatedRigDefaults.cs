using SweepRig.Domain;
using SweepRig.Domain.Rigs;
using SweepRig.Tubes.Catalogue;
using SweepRig.Tubes.Model;

namespace SweepRig.Rigs.Simulated;

/// <summary>The rig that the service simulates when no port is named.</summary>
public static class SimulatedRigDefaults
{
    public const int ProtocolVersion = 1;

    public const string Firmware = "sweeprig-sim 1.0";
    public const string Board = "simulated";

    /// <summary>A sound 6AU6, a sound 6BH6, a worn 6AU6, and a 6AU6 whose insulation between grid 1 and screen has suffered.</summary>
    public static IReadOnlyList<TubeParameters?> Tubes { get; } =
    [
        ExampleTubes.Sound6AU6,
        ExampleTubes.Sound6BH6,
        ExampleTubes.Weak6AU6,
        ExampleTubes.Sound6AU6 with { GridScreenLeakSiemens = 2e-6 },
    ];

    /// <summary>Twelve-bit converters; an average is stored in sixteenths of a step.</summary>
    public static IReadOnlyList<ChannelScale> Channels { get; } =
    [
        new(RigChannel.Plate, 12, 4, new(0), new(40.95)),
        new(RigChannel.Grid, 12, 4, new(-20.48), new(20.47)),
        new(RigChannel.Screen, 12, 4, new(0), new(40.95)),
        new(RigChannel.Supply, 12, 4, new(0), new(40.95)),
        new(RigChannel.Drive, 12, 4, new(-20.48), new(40.945)),
    ];

    public static RigLimits HardLimits { get; } = new(
        DriveFloor: new(-14),
        DriveCeiling: new(26),
        GridCurrent: new(8e-3),
        CathodeCurrent: new(30e-3),
        SupplyMin: new(0),
        SupplyMax: new(40),
        PositiveSecondsPerMinute: 40);
}
