namespace SweepRig.Logic.Networks;

/// <summary>Parts wired together at named nodes. Whether it can be reckoned with is told by <see cref="NetworkChecks"/>.</summary>
/// <param name="Name">For people.</param>
/// <param name="Parts">In the order of the document; names are unique, whatever their case.</param>
public sealed record Network(string Name, IReadOnlyList<Part> Parts)
{
    /// <summary>The node that all voltages are counted from.</summary>
    public const string Ground = "0";

    /// <summary>Most parts of a network: far above a register of a tide-clock, within what a dense look at its states still bears.</summary>
    public const int MostParts = 2_000;

    /// <summary>Every node but ground, in the order in which the parts name them.</summary>
    public IReadOnlyList<string> Nodes => [.. Parts.SelectMany(p => p.Nodes).Where(n => n != Ground).Distinct(StringComparer.Ordinal)];

    public IEnumerable<TubePart> Tubes => Parts.OfType<TubePart>();

    /// <summary>The same network with one part in the place of another of the same name.</summary>
    /// <exception cref="ArgumentException">No part has that name.</exception>
    public Network With(Part part)
    {
        ArgumentNullException.ThrowIfNull(part);
        if (!Parts.Any(p => p.Name == part.Name)) throw new ArgumentException($"The network {Name} has no part {part.Name}.", nameof(part));
        return new(Name, [.. Parts.Select(p => p.Name == part.Name ? part : p)]);
    }
}
