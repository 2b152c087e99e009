using SweepRig.Domain.Interlocks;
using SweepRig.Domain.Rigs;
using SweepRig.Sweeps.Interlocks;

namespace SweepRig.Sweeps.Tests.Interlocks;

/// <summary>What the host compares with, in base units, and the room that a reading is given.</summary>
public sealed class HostLimitsTests
{
    private const double Close = 1e-12;

    /// <summary>Looser than every rule, so that each limit is the rule's own.</summary>
    private static readonly RigLimits Loose = new(new(-16), new(100), new(1), new(1), new(5), new(100), 60);

    /// <summary>Standard uncertainties, in volts: drive 0.06, its read-back 0.08, grid 0.025, plate rail 0.02.</summary>
    private static readonly RigCalibration Known = new("known", "TEST-1", [Within(1), Within(0.025), Within(1), Within(0.02), Within(0.08)], Within(0.06));

    /// <summary>Read-back and drive 0.1 V together, grid and drive 0.065 V (sums of squares: JCGM 100:2008, 5.1.2); each three times.</summary>
    [Fact]
    public void A_voltage_is_given_three_standard_uncertainties_of_room()
    {
        var limits = HostLimits.Of(Loose, Known);
        Assert.Equal(0.3, limits.ReadBackRoomVolts, Close);
        Assert.Equal(0.195, limits.GridRoomVolts, Close);
        Assert.Equal(0.06, limits.RailRoomVolts, Close);
        Assert.Equal(4.94, limits.SupplyMin, Close);
        Assert.Equal(60.06, limits.SupplyMax, Close);
    }

    [Theory]
    [InlineData(false)]
    [InlineData(true)]
    public void Each_limit_is_that_of_its_rule(bool unattended)
    {
        var limits = HostLimits.Of(Loose, Known, unattended: unattended);
        double Rule(InterlockRule rule) => RuleSettings.Default.Of(rule, unattended);
        Assert.Equal(Rule(DriveRules.DriveCeiling), limits.DriveCeiling);
        Assert.Equal(Rule(DriveRules.PermitLength), limits.LongestPermit.TotalSeconds);
        Assert.Equal(Rule(DriveRules.PositiveTime), limits.PositiveSeconds);
        Assert.Equal(Rule(DriveRules.PositiveCharge), limits.PositiveCoulombs);
        Assert.Equal(Rule(DriveRules.GridCurrent), limits.GridCurrent);
        Assert.Equal(Rule(DriveRules.CathodeCurrent), limits.CathodeCurrent);
        Assert.Equal(Rule(TubeRules.GridDissipation), limits.GridWatts);
        Assert.Equal(Rule(TubeRules.ReverseGridCurrent), limits.ReverseGridCurrent);
        Assert.Equal(Rule(TubeRules.PlateDissipation), limits.PlateShare);
        Assert.Equal(Rule(TubeRules.ScreenDissipation), limits.ScreenShare);
        Assert.Equal(Rule(TubeRules.Runaway), limits.RunawayRise);
        Assert.Equal(Rule(BenchRules.RailHighest) + 0.06, limits.SupplyMax, Close);
        Assert.Equal(Rule(BenchRules.RailDeviation), limits.RailDeviation);
        Assert.Equal(Rule(ReadingRules.ReadBack), limits.ReadBackVolts);
        Assert.Equal(Rule(ReadingRules.ChannelStuck), limits.StuckVolts);
        Assert.Equal(Rule(ReadingRules.ChannelClipped), limits.ClippedSamples);
        Assert.Equal(Rule(ReadingRules.StaleData), limits.StaleSeconds);
        Assert.Equal(Rule(ReadingRules.RigClock), limits.RigClockLag);
        Assert.Equal(Rule(ReadingRules.WallClock), limits.WallJumpSeconds);
    }

    /// <summary>A rig's own limit that is tighter holds.</summary>
    [Fact]
    public void Tighter_limits_of_the_rig_stay()
    {
        var tight = new RigLimits(new(-3), new(2), new(1e-4), new(1e-3), new(6), new(7), 0.5);
        Assert.Equal(tight, RuleSettings.Default.Tighten(tight, unattended: true));
        Assert.Equal(new RigLimits(new(-16), new(24), new(6e-3), new(25e-3), new(5), new(60), 20), RuleSettings.Default.Tighten(Loose, unattended: true));
    }

    /// <summary>What says nothing of ratings, limits or permits limits nothing.</summary>
    [Fact]
    public void Without_rules_a_rating_counts_in_full()
    {
        var plain = new HostLimits(0, 0, 0, 0, 0, 0);
        Assert.Equal((1.0, 1.0, Permit.MaxDuration), (plain.PlateShare, plain.ScreenShare, plain.LongestPermit));
        Assert.Equal((0.0, 0.0), (plain.GridRoomVolts, plain.RailRoomVolts));
    }

    [Fact]
    public void A_bench_sets_attended_and_unattended_each_by_itself()
    {
        var both = Set(new(5, 2));
        Assert.Equal((5.0, 2.0), (both.Shown(DriveRules.GridCurrent, unattended: false), both.Shown(DriveRules.GridCurrent, unattended: true)));
        Assert.True(both.IsSet(DriveRules.GridCurrent));
        Assert.False(both.IsSet(DriveRules.CathodeCurrent));
        // The unattended default of 6 mA is tighter than the 7 mA set, and looser than 5 mA.
        Assert.Equal(6, Set(new(7, null)).Shown(DriveRules.GridCurrent, unattended: true));
        Assert.Equal(5, Set(new(5, null)).Shown(DriveRules.GridCurrent, unattended: true));
        Assert.Equal((8.0, 3.0), (Set(new(null, 3)).Shown(DriveRules.GridCurrent, unattended: false), Set(new(null, 3)).Shown(DriveRules.GridCurrent, unattended: true)));
    }

    [Fact]
    public void The_tighter_of_two_is_the_lower_one_or_the_higher_one_as_the_rule_has_it()
    {
        Assert.Equal((0.1, 20.0), (DriveRules.GridCurrent.Limit!.Least, DriveRules.GridCurrent.Limit.Most));
        Assert.Equal((3.0, 3.0), (DriveRules.GridCurrent.Limit.Tighter(3, 4), DriveRules.GridCurrent.Limit.Tighter(4, 3)));
        Assert.Equal((10.0, 600.0), (TubeRules.WarmUp.Limit!.Least, TubeRules.WarmUp.Limit.Most));
        Assert.Equal((40.0, 40.0), (TubeRules.WarmUp.Limit.Tighter(30, 40), TubeRules.WarmUp.Limit.Tighter(40, 30)));
    }

    private static RuleSettings Set(RuleSetting gridCurrent) => new(new Dictionary<string, RuleSetting> { ["grid-current"] = gridCurrent });

    private static VoltageCorrection Within(double uncertainty) => new(1, 0, 0, uncertainty);
}
