using SweepRig.Domain.Tubes;

namespace SweepRig.Analysis.Health;

public enum HealthVerdict
{
    /// <summary>Within its limits.</summary>
    Good,

    /// <summary>Beyond the first limit, or so near that nobody should lean on it.</summary>
    Doubtful,

    /// <summary>Beyond the second limit by more than its uncertainty.</summary>
    Bad,

    /// <summary>Not measured, or not measured well enough to tell; the reason says why.</summary>
    NotSeen,
}

/// <summary>One thing that a screening looks at.</summary>
/// <param name="Name">Kebab-case, stable.</param>
/// <param name="Title">For people.</param>
/// <param name="Figure">The number, or why there is none.</param>
/// <param name="Verdict">By the limits below.</param>
/// <param name="Reasons">Why, for people; never empty unless the verdict is good.</param>
/// <param name="Method">How it was measured.</param>
/// <param name="Source">Where method or limit come from, or "common practice, no source".</param>
/// <param name="Shows">What it can show at this rail.</param>
/// <param name="CannotShow">What it cannot.</param>
public sealed record HealthItem(
    string Name, string Title, Figure Figure, HealthVerdict Verdict, IReadOnlyList<string> Reasons, string Method, string Source, string Shows, string CannotShow);

/// <summary>What a screening says of a tube. Made from the stored runs when asked for; nothing of it is stored.</summary>
/// <param name="Verdict">The worst of the items, of those that were seen; not seen where the screening did not run to its end and nothing bad was found until then.</param>
/// <param name="Reasons">Of the items that are bad, or else doubtful; and why the screening ended early.</param>
/// <param name="Items">In a fixed order.</param>
/// <param name="NotSeen">What this rig at this rail could not see, one line each, with the reason.</param>
public sealed record HealthReport(
    string ScreeningId, Tube Tube, Connection Connection, HealthVerdict Verdict, IReadOnlyList<string> Reasons, IReadOnlyList<HealthItem> Items, IReadOnlyList<string> NotSeen);
