using SweepRig.Domain;
using SweepRig.Domain.Interlocks;
using SweepRig.Domain.Rigs;

namespace SweepRig.Sweeps.Interlocks;

/// <summary>
/// What the host checks on every block, by itself and beside the rig. Voltages read through a converter are given three standard uncertainties of
/// room, so that an uncalibrated rig does not trip on its own error; drive codes and currents get none.
/// </summary>
/// <param name="DriveCeiling">Highest drive of the session; a permit may only lower it.</param>
/// <param name="ReadBackRoomVolts">Room of the drive's read-back above any ceiling.</param>
/// <param name="GridCurrent">Largest current into grid 1.</param>
/// <param name="CathodeCurrent">Largest sum of grid, screen and plate current.</param>
/// <param name="SupplyMin">Lowest plate rail, room included.</param>
/// <param name="SupplyMax">Highest plate rail, room included.</param>
public sealed record HostLimits(
    double DriveCeiling,
    double ReadBackRoomVolts,
    double GridCurrent,
    double CathodeCurrent,
    double SupplyMin,
    double SupplyMax)
{
    private const double Room = 3;

    /// <summary>How long a permit may last.</summary>
    public TimeSpan LongestPermit { get; init; } = Permit.MaxDuration;

    /// <summary>Room of a voltage between drive and grid pin, over the stopper.</summary>
    public double GridRoomVolts { get; init; }

    /// <summary>Room of the plate rail's reading.</summary>
    public double RailRoomVolts { get; init; }

    /// <summary>The remaining limits, each as its rule says, in the base unit.</summary>
    public double GridWatts { get; init; } = double.PositiveInfinity;

    public double ReverseGridCurrent { get; init; } = double.PositiveInfinity;

    /// <summary>Part of the type's rating, 0 to 1.</summary>
    public double PlateShare { get; init; } = 1;

    /// <summary>Part of the type's rating, 0 to 1.</summary>
    public double ScreenShare { get; init; } = 1;

    public double RunawayRise { get; init; } = double.PositiveInfinity;

    public double PositiveSeconds { get; init; } = double.PositiveInfinity;

    public double PositiveCoulombs { get; init; } = double.PositiveInfinity;

    /// <summary>Part of the planned rail, 0 to 1.</summary>
    public double RailDeviation { get; init; } = double.PositiveInfinity;

    public double ReadBackVolts { get; init; } = double.PositiveInfinity;

    public double StuckVolts { get; init; } = double.PositiveInfinity;

    public double ClippedSamples { get; init; } = double.PositiveInfinity;

    public double StaleSeconds { get; init; } = double.PositiveInfinity;

    /// <summary>Part of the host's time by which the rig's may fall behind, 0 to 1.</summary>
    public double RigClockLag { get; init; } = double.PositiveInfinity;

    public double WallJumpSeconds { get; init; } = double.PositiveInfinity;

    /// <param name="limits">Those of rig and session.</param>
    /// <param name="settings">Those of the bench; the defaults when left out.</param>
    /// <param name="unattended">True for the limits that hold while nobody is there.</param>
    public static HostLimits Of(RigLimits limits, RigCalibration calibration, RuleSettings? settings = null, bool unattended = false)
    {
        var rules = settings ?? RuleSettings.Default;
        limits = rules.Tighten(limits, unattended);
        var readBack = calibration.Channels[(int)RigChannel.Drive];
        var supply = calibration.Channels[(int)RigChannel.Supply];
        var drive = calibration.Drive;
        var ceiling = limits.DriveCeiling.Value;
        return new(
            ceiling,
            Room * Math.Sqrt(Square(readBack.UncertaintyAt(ceiling)) + Square(drive.UncertaintyAt(ceiling))),
            limits.GridCurrent.Value,
            limits.CathodeCurrent.Value,
            limits.SupplyMin.Value - Room * supply.UncertaintyAt(limits.SupplyMin.Value),
            limits.SupplyMax.Value + Room * supply.UncertaintyAt(limits.SupplyMax.Value))
        {
            LongestPermit = TimeSpan.FromSeconds(rules.Of(DriveRules.PermitLength, unattended)),
            GridRoomVolts = Room * Math.Sqrt(Square(calibration.Channels[(int)RigChannel.Grid].UncertaintyAt(limits.DriveFloor.Value)) + Square(drive.UncertaintyAt(limits.DriveFloor.Value))),
            RailRoomVolts = Room * supply.UncertaintyAt(limits.SupplyMax.Value),
            GridWatts = rules.Of(TubeRules.GridDissipation, unattended),
            ReverseGridCurrent = rules.Of(TubeRules.ReverseGridCurrent, unattended),
            PlateShare = rules.Of(TubeRules.PlateDissipation, unattended),
            ScreenShare = rules.Of(TubeRules.ScreenDissipation, unattended),
            RunawayRise = rules.Of(TubeRules.Runaway, unattended),
            PositiveSeconds = limits.PositiveSecondsPerMinute,
            PositiveCoulombs = rules.Of(DriveRules.PositiveCharge, unattended),
            RailDeviation = rules.Of(BenchRules.RailDeviation, unattended),
            ReadBackVolts = rules.Of(ReadingRules.ReadBack, unattended),
            StuckVolts = rules.Of(ReadingRules.ChannelStuck, unattended),
            ClippedSamples = rules.Of(ReadingRules.ChannelClipped, unattended),
            StaleSeconds = rules.Of(ReadingRules.StaleData, unattended),
            RigClockLag = rules.Of(ReadingRules.RigClock, unattended),
            WallJumpSeconds = rules.Of(ReadingRules.WallClock, unattended),
        };
    }

    private static double Square(double x) => x * x;
}
