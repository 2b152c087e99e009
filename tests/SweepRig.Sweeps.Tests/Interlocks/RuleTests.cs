using SweepRig.Domain.Interlocks;
using SweepRig.Domain.Rigs;
using SweepRig.Sweeps.Interlocks;
using SweepRig.Sweeps.Tests.Support;

namespace SweepRig.Sweeps.Tests.Interlocks;

/// <summary>What must hold of every rule that is declared.</summary>
public sealed class RuleTests
{
    public static TheoryData<string> Ids => [.. InterlockRules.All.Select(r => r.Id)];

    [Theory]
    [MemberData(nameof(Ids))]
    public void A_rule_says_what_it_is_for_and_what_to_do(string id)
    {
        var rule = InterlockRules.Find(id)!;
        Assert.Matches("^[a-z]+(-[a-z]+)*$", rule.Id);
        Assert.True(rule.Title.Length is > 5 and < 60 && rule.Hazard.Length > 20 && rule.Hazard.EndsWith('.') && rule.Action.Length > 20, rule.Title);
        Assert.NotEmpty(rule.Causes);
        Assert.EndsWith(".", rule.Remedy, StringComparison.Ordinal);
    }

    [Theory]
    [MemberData(nameof(Ids))]
    public void Unattended_is_nowhere_looser_and_both_are_within_the_range(string id)
    {
        if (InterlockRules.Find(id)!.Limit is not { } limit) return;
        Assert.InRange(limit.Attended, limit.Least, limit.Most);
        Assert.InRange(limit.Unattended, limit.Least, limit.Most);
        Assert.Equal(limit.Unattended, limit.Tighter(limit.Unattended, limit.Attended));
        Assert.NotEqual(limit.Tightest, limit.Loosest);
        Assert.True(limit.Source.Length > 10, limit.Source);
    }

    [Fact]
    public void No_two_rules_share_a_name_or_title()
    {
        Assert.Equal(InterlockRules.All.Count, InterlockRules.All.DistinctBy(r => r.Id).Count());
        Assert.Equal(InterlockRules.All.Count, InterlockRules.All.DistinctBy(r => r.Title).Count());
    }

    /// <summary>Below 64 a cause is the rig's own, which has its rules in firmware.</summary>
    [Fact]
    public void Every_cause_that_the_host_fires_belongs_to_a_rule()
    {
        var declared = InterlockRules.All.SelectMany(r => r.Causes).ToHashSet();
        Assert.All(Enum.GetValues<TripCause>().Where(c => (int)c >= 64), c => Assert.Contains(c, declared));
    }

    /// <summary>Set looser than attended by hand, unattended holds what attended does.</summary>
    [Fact]
    public void A_bench_that_tightens_attended_alone_tightens_unattended_too()
    {
        var set = new RuleSettings(new Dictionary<string, RuleSetting> { ["grid-current"] = new(5, null) });
        Assert.Equal(5e-3, set.Of(DriveRules.GridCurrent, unattended: false), 1e-12);
        Assert.Equal(5e-3, set.Of(DriveRules.GridCurrent, unattended: true), 1e-12);
    }

    [Fact]
    public void The_host_is_nowhere_looser_than_the_rig_and_unattended_nowhere_than_attended()
    {
        var nominal = RigCalibration.Nominal(Samples.Rig);
        var weak = Samples.Rig.HardLimits with { DriveCeiling = new(3), GridCurrent = new(1e-3), CathodeCurrent = new(2e-3) };
        foreach (var rig in new[] { Samples.Rig.HardLimits, weak })
        {
            var (attended, unattended) = (HostLimits.Of(rig, nominal), HostLimits.Of(rig, nominal, unattended: true));
            foreach (var of in new Func<HostLimits, double>[] { l => l.DriveCeiling, l => l.GridCurrent, l => l.CathodeCurrent, l => l.SupplyMax, l => l.LongestPermit.TotalSeconds })
                Assert.True(of(unattended) <= of(attended));
            Assert.True(attended.DriveCeiling <= rig.DriveCeiling.Value && attended.GridCurrent <= rig.GridCurrent.Value && attended.CathodeCurrent <= rig.CathodeCurrent.Value);
        }
    }
}
