namespace SweepRig.Service.Contract;

/// <summary>Every rule of the host's interlocks, with the limits of this bench.</summary>
/// <param name="File">Where a bench's own limits are read from.</param>
/// <param name="Rules">In the order in which people read them.</param>
public sealed record InterlockListView(string File, IReadOnlyList<InterlockRuleView> Rules);

/// <param name="Id">Stable, kebab-case.</param>
/// <param name="Title">What is forbidden.</param>
/// <param name="Hazard">What could be harmed.</param>
/// <param name="Action">What the rule looks at, and what it does.</param>
/// <param name="Remedy">What to do once it has fired.</param>
/// <param name="Causes">Words of the trips that it fires.</param>
/// <param name="Limit">The number it compares with; null where there is none to set.</param>
public sealed record InterlockRuleView(string Id, string Title, string Hazard, string Action, string Remedy, IReadOnlyList<string> Causes, InterlockLimitView? Limit);

/// <summary>A limit, all numbers in its unit. Where the rig, the type or the plan has a tighter one, that holds.</summary>
/// <param name="Attended">In force while somebody is at the bench.</param>
/// <param name="Unattended">In force while nobody is.</param>
/// <param name="IsSet">True where the bench has set it.</param>
/// <param name="Tightest">One end of what a bench may set.</param>
/// <param name="Loosest">The other.</param>
/// <param name="Source">Where the defaults come from.</param>
public sealed record InterlockLimitView(
    string Unit, double Attended, double Unattended, bool IsSet, double DefaultAttended, double DefaultUnattended, double Tightest, double Loosest, string Source);
