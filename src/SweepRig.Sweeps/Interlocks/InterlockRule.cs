using SweepRig.Domain.Interlocks;

namespace SweepRig.Sweeps.Interlocks;

/// <summary>One rule of the host, declared once: help, command, REST, page and the builder's notes are made of it.</summary>
/// <param name="Id">Stable, kebab-case.</param>
/// <param name="Title">What is forbidden, in a few words.</param>
/// <param name="Hazard">What could be harmed.</param>
/// <param name="Action">What the rule looks at, and what it does.</param>
/// <param name="Causes">Trips that it fires, the usual one first.</param>
public sealed record InterlockRule(string Id, string Title, string Hazard, string Action, IReadOnlyList<TripCause> Causes)
{
    /// <summary>The number that it compares with; null where there is none to set.</summary>
    public RuleLimit? Limit { get; init; }

    /// <summary>What to do once it has fired.</summary>
    public string Remedy => TripGuide.For(Causes[0]).Remedy;
}
