using SweepRig.Domain.Rigs;
using SweepRig.Sweeps.Planning;

namespace SweepRig.Sweeps.Interlocks;

/// <summary>What one bench has set of a rule, in the rule's unit; null where the default holds.</summary>
public sealed record RuleSetting(double? Attended, double? Unattended);

/// <summary>The limits of one bench: the defaults, and what it has set in their place. Unattended none is looser than attended.</summary>
public sealed record RuleSettings
{
    public static RuleSettings Default { get; } = new(new Dictionary<string, RuleSetting>());

    private readonly IReadOnlyDictionary<string, RuleSetting> _set;

    /// <param name="set">By the id of the rule; within the rule's range.</param>
    public RuleSettings(IReadOnlyDictionary<string, RuleSetting> set) => _set = set;

    public bool IsSet(InterlockRule rule) => _set.ContainsKey(rule.Id);

    /// <summary>The limit in the rule's unit.</summary>
    /// <exception cref="ArgumentException">The rule has no limit.</exception>
    public double Shown(InterlockRule rule, bool unattended)
    {
        var limit = rule.Limit ?? throw new ArgumentException($"SweepRig bug: rule {rule.Id} has no limit.", nameof(rule));
        var set = _set.GetValueOrDefault(rule.Id);
        var attended = set?.Attended ?? limit.Attended;
        return unattended ? limit.Tighter(set?.Unattended ?? limit.Unattended, attended) : attended;
    }

    /// <summary>The limit in the base unit.</summary>
    public double Of(InterlockRule rule, bool unattended) => Shown(rule, unattended) * rule.Limit!.Unit.Factor;

    /// <summary>The limits of a rig, nowhere looser than those of this bench.</summary>
    public RigLimits Tighten(RigLimits limits, bool unattended) => LimitSet.Tightest(limits, limits with
    {
        DriveCeiling = new(Of(DriveRules.DriveCeiling, unattended)),
        GridCurrent = new(Of(DriveRules.GridCurrent, unattended)),
        CathodeCurrent = new(Of(DriveRules.CathodeCurrent, unattended)),
        PositiveSecondsPerMinute = Of(DriveRules.PositiveTime, unattended),
        SupplyMax = new(Of(BenchRules.RailHighest, unattended)),
    });
}
