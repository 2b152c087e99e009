using SweepRig.Domain.Stock;

namespace SweepRig.Domain.Tubes;

/// <summary>One physical tube.</summary>
/// <param name="Label">The number written on it, unique in the stock, for example <c>SKUA-014</c>; with the section of a tube that has several, as in <c>SKUA-014/2</c>.</param>
/// <param name="TypeName">Registered type designation, for example <c>6AU6</c>.</param>
/// <param name="Lot">The lot it was bought with, if any.</param>
public sealed record Tube(string Label, string TypeName, string? Lot = null)
{
    /// <summary>The section that is measured, from 1; null where the whole tube is meant. Which one the rig reaches is a matter of the socket's wiring, so that an operator states it.</summary>
    public int? Section => TubeNumber.Split(Label).Section;
}
