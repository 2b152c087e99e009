using SweepRig.Domain.Quantities;

namespace SweepRig.Domain.Interlocks;

/// <summary>A latched firing of an interlock. The first cause wins; later ones do not replace it.</summary>
/// <param name="Cause">Why.</param>
/// <param name="ByRig">True if the rig tripped by itself, false if the host ordered it.</param>
/// <param name="Measured">What was seen, with unit, for example <c>grid current 6.2 mA</c>; empty when the cause carries no figure.</param>
/// <param name="Limit">The limit it broke, with unit; empty when the cause carries no figure.</param>
/// <param name="OccurredUtc">When the host learned of it.</param>
/// <param name="RigTime">The rig's clock, where known.</param>
public sealed record Trip(TripCause Cause, bool ByRig, string Measured, string Limit, DateTimeOffset OccurredUtc, RigTime? RigTime);
