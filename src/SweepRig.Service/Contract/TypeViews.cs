namespace SweepRig.Service.Contract;

/// <summary>A type of the catalogue, as lists show it.</summary>
/// <param name="Name">Registered designation.</param>
/// <param name="Aliases">Designations of the same type elsewhere.</param>
/// <param name="Kind">Kind of tube.</param>
/// <param name="Base">Its base.</param>
/// <param name="Heaters">Rated heater supplies.</param>
/// <param name="IsSwept">False for a type that is refused for sweeping.</param>
/// <param name="IsCautioned">True when it comes with a caution.</param>
/// <param name="File">The user's file that it was read from; null for a type that SweepRig brings.</param>
/// <param name="Replaces">The type of SweepRig's own that it stands in for.</param>
public sealed record TypeSummaryView(
    string Name, IReadOnlyList<string> Aliases, string Kind, string Base, IReadOnlyList<TypeHeaterView> Heaters, bool IsSwept, bool IsCautioned, string? File, string? Replaces);

/// <summary>Every type, and what was left out because something is wrong with it.</summary>
public sealed record TypeListView(IReadOnlyList<TypeSummaryView> Types, IReadOnlyList<TypeFaultView> Faults);

/// <summary>Something wrong with a user's type.</summary>
public sealed record TypeFaultView(string File, RefusalView Refusal);

public sealed record TypeHeaterView(double Volts, double Amperes);

/// <summary>All that the catalogue says of a type.</summary>
/// <param name="Summary">As lists show it.</param>
/// <param name="IsDirectlyHeated">True when the filament is the cathode.</param>
/// <param name="Basing">Pins.</param>
/// <param name="Sections">Sections that are swept each for itself; empty for a tube of one system.</param>
/// <param name="Ratings">Limits as tables give them.</param>
/// <param name="Limits">What a bench holds a plan to.</param>
/// <param name="TypicalPoints">Published operating points of a new tube.</param>
/// <param name="Note">What a user of it should know.</param>
/// <param name="Caution">What its filling or radiation can do to a person, and what to do about it.</param>
/// <param name="NotSweptBecause">Why no sweep of it is made.</param>
/// <param name="Sources">Where the values were read.</param>
public sealed record TypeDetailView(
    TypeSummaryView Summary, bool IsDirectlyHeated, BasingView Basing, IReadOnlyList<TypeSectionView> Sections, IReadOnlyList<RatingView> Ratings, IReadOnlyList<TypeLimitView> Limits,
    IReadOnlyList<TypicalPointView> TypicalPoints, string? Note, string? Caution, string? NotSweptBecause, IReadOnlyList<string> Sources);

/// <param name="Name">Of the base.</param>
/// <param name="Code">Basing code, where one is known.</param>
/// <param name="Pins">Pin 1 first.</param>
/// <param name="Confidence">How far it can be trusted.</param>
public sealed record BasingView(string Name, string? Code, IReadOnlyList<string> Pins, string Confidence);

/// <param name="Number">As it is written behind the number of a tube.</param>
/// <param name="Name">What it is.</param>
/// <param name="Pins">Electrode and pin, for example <c>p 6</c>.</param>
public sealed record TypeSectionView(int Number, string Name, IReadOnlyList<string> Pins);

/// <param name="Limit">What is limited.</param>
/// <param name="Value">In <paramref name="Unit"/>.</param>
/// <param name="Unit">V, W or mA.</param>
/// <param name="System">What the limit promises: the rating system (EIA RS-239-A, IEC 60134).</param>
/// <param name="Confidence">How far it can be trusted.</param>
public sealed record RatingView(string Limit, double Value, string Unit, string System, string Confidence);

/// <summary>One published operating point; each section of a double tube by itself.</summary>
public sealed record TypicalPointView(
    double PlateVolts, double? ScreenVolts, double? GridVolts, double? CathodeOhms, double PlateMilliamperes, double? ScreenMilliamperes, double MilliampsPerVolt, double? PlateKilohms,
    double? Mu, string Confidence);
