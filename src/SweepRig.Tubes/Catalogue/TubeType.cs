using SweepRig.Domain.Quantities;
using SweepRig.Tubes.Model;

namespace SweepRig.Tubes.Catalogue;

public enum TubeKind
{
    SharpCutoffPentode,
    RemoteCutoffPentode,
    DoubleTriode,
    Pentagrid,
}

/// <summary>One way to supply the heater.</summary>
public sealed record HeaterRating(Volts Voltage, Amps Current);

/// <summary>Which electrode is on which pin. Sections of a double triode are told apart by pin: makers number them differently.</summary>
/// <param name="Code">Basing code, for example <c>7BK</c>.</param>
/// <param name="Pins">Pin 1 first. Grids are g1 to g5, p plate, k cathode, h heater, s internal shield; a, b mark sections.</param>
/// <param name="Confidence">How far it can be trusted.</param>
public sealed record Basing(string Code, IReadOnlyList<string> Pins, Confidence Confidence);

/// <summary>A registered type with its published limits. Limits are nominal and no guarantee for a salvaged tube.</summary>
/// <param name="Name">Registered designation.</param>
/// <param name="Aliases">Designations of the same type elsewhere.</param>
/// <param name="Kind">Kind of tube.</param>
/// <param name="Heaters">Rated heater supplies; more than one where the heater is tapped.</param>
/// <param name="Ratings">Limits; the same kind may appear under several rating systems.</param>
/// <param name="Basing">Pins.</param>
/// <param name="Example">Illustrative model constants, where there are any.</param>
public sealed record TubeType(
    string Name,
    IReadOnlyList<string> Aliases,
    TubeKind Kind,
    IReadOnlyList<HeaterRating> Heaters,
    IReadOnlyList<Rating> Ratings,
    Basing Basing,
    TubeParameters? Example = null)
{
    /// <summary>The most careful limit of a kind over all rating systems, in the unit of the kind; none when no table gives one.</summary>
    public double? Limit(RatingKind kind) => Ratings.Where(r => r.Kind == kind).Min(r => (double?)r.Value);
}
