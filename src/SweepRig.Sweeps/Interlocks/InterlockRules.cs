namespace SweepRig.Sweeps.Interlocks;

/// <summary>Every rule of the host. What a rig enforces by itself is told in firmware-notes/interlocks.md.</summary>
public static class InterlockRules
{
    /// <summary>In the order in which people read them.</summary>
    public static IReadOnlyList<InterlockRule> All { get; } =
    [
        DriveRules.DriveCeiling, DriveRules.PermitLength, DriveRules.PositiveTime, DriveRules.PositiveCharge,
        DriveRules.GridCurrent, TubeRules.GridDissipation, TubeRules.ReverseGridCurrent,
        DriveRules.CathodeCurrent, TubeRules.PlateDissipation, TubeRules.ScreenDissipation, TubeRules.Runaway, TubeRules.WarmUp,
        BenchRules.RailHighest, BenchRules.RailDeviation,
        ReadingRules.ReadBack, ReadingRules.ChannelStuck, ReadingRules.ChannelClipped, ReadingRules.StaleData, ReadingRules.RigClock, ReadingRules.WallClock,
        BenchRules.EmergencyStop, BenchRules.OperatorOrder, BenchRules.HeaterSupply, BenchRules.ForeignProgram, BenchRules.LinkLost, BenchRules.RigRestarted, BenchRules.Recording,
    ];

    /// <summary>Those with a number that a bench may set.</summary>
    public static IReadOnlyList<InterlockRule> WithLimit { get; } = [.. All.Where(r => r.Limit is not null)];

    /// <summary>Null for a name that no rule has.</summary>
    public static InterlockRule? Find(string id) => All.FirstOrDefault(r => string.Equals(r.Id, id, StringComparison.OrdinalIgnoreCase));
}
