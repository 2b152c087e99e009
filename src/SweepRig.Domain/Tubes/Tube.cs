namespace SweepRig.Domain.Tubes;

/// <summary>One physical tube.</summary>
/// <param name="Label">The number written on it, unique in the stock, for example <c>SKUA-014</c>.</param>
/// <param name="TypeName">Registered type designation, for example <c>6AU6</c>.</param>
/// <param name="Lot">The lot it was bought with, if any.</param>
public sealed record Tube(string Label, string TypeName, string? Lot = null);
