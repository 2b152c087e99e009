using SweepRig.Logic.Networks;

namespace SweepRig.Logic.Building;

/// <summary>One thing that may be wrong with a build.</summary>
/// <param name="Part">The part or node that it concerns; empty for none.</param>
/// <param name="Says">In words.</param>
/// <param name="Look">How it is seen with the rails off.</param>
public sealed record BuildFault(string Part, string Says, string Look)
{
    /// <summary>Makes the network as it then is.</summary>
    internal Func<Network, Network> Apply { get; init; } = network => network;

    /// <summary>Nothing is wrong.</summary>
    public static BuildFault None { get; } = new("", "everything is as drawn", "");

    public bool IsNone => ReferenceEquals(this, None);
}
