using SweepRig.Domain.Quantities;

namespace SweepRig.Sweeps.Planning;

/// <summary>What the planner needs to know of a tube type.</summary>
/// <param name="TypeName">Registered designation.</param>
/// <param name="Heaters">Rated heater voltages; more than one where the heater is tapped.</param>
/// <param name="PlateDissipation">Greatest power in the plate; null where no table gives it.</param>
/// <param name="ScreenDissipation">Greatest power in the screen; null for a triode, or where no table gives it.</param>
/// <param name="ExpectedScreenWatts">
/// Screen power of an ordinary tube of this type in a given connection at a given drive; null where no model of the type is known.
/// </param>
public sealed record TypeRatings(
    string TypeName,
    IReadOnlyList<Volts> Heaters,
    Watts? PlateDissipation,
    Watts? ScreenDissipation,
    Func<Domain.Tubes.Connection, Volts, double>? ExpectedScreenWatts = null)
{
    /// <summary>Why <see cref="PlateDissipation"/> is less than the table says; null where it is not.</summary>
    public string? PlateBecause { get; init; }

    /// <summary>Why <see cref="ScreenDissipation"/> is less than the table says; null where it is not.</summary>
    public string? ScreenBecause { get; init; }

    /// <summary>The limits that a plan for this type is held to, for people to see.</summary>
    public IReadOnlyList<TypeLimit> Limits =>
    [
        .. PlateDissipation is { } plate ? [new TypeLimit("plate-dissipation", plate, PlateBecause)] : Array.Empty<TypeLimit>(),
        .. ScreenDissipation is { } screen ? [new TypeLimit("screen-dissipation", screen, ScreenBecause)] : Array.Empty<TypeLimit>(),
    ];

    /// <summary>Names of the sections that are swept each for itself, the first being 1; none for a tube of one system.</summary>
    public IReadOnlyList<string> Sections { get; init; } = [];

    /// <summary>Why no sweep of this type is made, with its caution if it has one; null for a type that can be swept.</summary>
    public string? NotSweptBecause { get; init; }
}

/// <summary>A limit of the type that a plan is held to.</summary>
/// <param name="Word">What is limited.</param>
/// <param name="Most">At most this.</param>
/// <param name="Because">Why it is less than the table says; null where it is not.</param>
public sealed record TypeLimit(string Word, Watts Most, string? Because);
