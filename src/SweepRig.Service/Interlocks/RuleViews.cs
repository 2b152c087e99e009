using SweepRig.Service.Contract;
using SweepRig.Service.Live;
using SweepRig.Sweeps.Interlocks;

namespace SweepRig.Service.Interlocks;

/// <summary>Rules as REST and commands show them. Pure.</summary>
public static class RuleViews
{
    public static InterlockListView List(RuleSettings settings) => new(BenchRuleFile.Name, [.. InterlockRules.All.Select(r => Of(r, settings))]);

    public static InterlockRuleView Of(InterlockRule rule, RuleSettings settings) => new(
        rule.Id, rule.Title, rule.Hazard, rule.Action, rule.Remedy, [.. rule.Causes.Select(BenchViews.Word)],
        rule.Limit is not { } limit ? null : new(
            limit.Unit.Symbol, settings.Shown(rule, unattended: false), settings.Shown(rule, unattended: true), settings.IsSet(rule), limit.Attended, limit.Unattended, limit.Tightest, limit.Loosest,
            limit.Source));
}
