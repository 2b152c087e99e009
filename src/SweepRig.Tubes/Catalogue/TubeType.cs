using SweepRig.Domain.Quantities;
using SweepRig.Tubes.Model;

namespace SweepRig.Tubes.Catalogue;

/// <summary>A registered type with its published limits. Limits are nominal and no guarantee for a salvaged tube.</summary>
/// <param name="Name">Registered designation.</param>
/// <param name="Aliases">Designations of the same type elsewhere.</param>
/// <param name="Kind">Kind of tube.</param>
/// <param name="Heaters">Rated heater supplies; more than one where the heater is tapped, none where there is none.</param>
/// <param name="Basing">Pins.</param>
/// <param name="Ratings">Limits; the same kind may appear under several rating systems.</param>
public sealed record TubeType(
    string Name, IReadOnlyList<string> Aliases, TubeKind Kind, IReadOnlyList<HeaterRating> Heaters, Basing Basing, IReadOnlyList<Rating> Ratings)
{
    /// <summary>Published operating points of a new tube.</summary>
    public IReadOnlyList<TypicalPoint> TypicalPoints { get; init; } = [];

    /// <summary>Where the values were read, each a sentence.</summary>
    public IReadOnlyList<string> Sources { get; init; } = [];

    /// <summary>True when the filament is the cathode.</summary>
    public bool IsDirectlyHeated { get; init; }

    /// <summary>What a user of the type should know.</summary>
    public string? Note { get; init; }

    /// <summary>What its filling or radiation can do to a person, and what to do about it.</summary>
    public string? Caution { get; init; }

    /// <summary>Why no sweep of it is made; null for a type that can be swept.</summary>
    public string? NotSweptBecause { get; init; }

    /// <summary>Illustrative model constants, where there are any.</summary>
    public TubeParameters? Example { get; init; }

    /// <summary>Name of the user's file that it was read from; null for a type that the project brings.</summary>
    public string? File { get; init; }

    /// <summary>The type of the project that a user's type stands in for.</summary>
    public string? Replaces { get; init; }

    /// <summary>Name and aliases.</summary>
    public IEnumerable<string> Names => Aliases.Prepend(Name);

    /// <summary>Whether it goes by a name; upper and lower case do not matter.</summary>
    public bool IsCalled(string name) => Names.Contains(name.Trim(), StringComparer.OrdinalIgnoreCase);

    /// <summary>The most careful limit of a kind over all rating systems, in the unit of the kind; none when no table gives one.</summary>
    public double? Limit(RatingKind kind) => Ratings.Where(r => r.Kind == kind).Min(r => (double?)r.Value);

    /// <summary>What a bench lets the tube bear: the most careful row of a kind after <see cref="CarefulLimit.Share"/>; none when no table gives one.</summary>
    public CarefulLimit? Careful(RatingKind kind) => Ratings.Where(r => r.Kind == kind).Select(r => new CarefulLimit(r)).MinBy(l => l.Value);
}

public enum TubeKind
{
    SharpCutoffPentode,
    RemoteCutoffPentode,
    PowerPentode,
    Triode,
    DoubleTriode,
    TriodePentode,
    Pentagrid,

    /// <summary>No grid to drive.</summary>
    Diode,

    /// <summary>Filled with gas or vapour.</summary>
    GasFilled,
}

/// <summary>One way to supply the heater.</summary>
public sealed record HeaterRating(Volts Voltage, Amps Current);

/// <summary>Which electrode is on which pin. Sections of a double triode are told apart by pin: makers number them differently.</summary>
/// <param name="Name">Of the base, for example <c>B7G</c>.</param>
/// <param name="Code">Basing code, for example <c>7BK</c>; null where none is known.</param>
/// <param name="Pins">
/// Pin 1 first. Grids are g1 to g5, p plate, k cathode, h heater, ht its tap, f filament, d1 and d2 diode plates, s shield or shell, nc no connection, ic not to be used; a, b mark
/// sections of a double triode, t and p triode and pentode of a mixed one.
/// </param>
/// <param name="Confidence">How far it can be trusted.</param>
public sealed record Basing(string Name, string? Code, IReadOnlyList<string> Pins, Confidence Confidence);
