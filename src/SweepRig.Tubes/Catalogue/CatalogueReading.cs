using SweepRig.Domain;

namespace SweepRig.Tubes.Catalogue;

/// <summary>The document of a user's type.</summary>
/// <param name="Name">Of its file, without directory.</param>
/// <param name="Json">All of it.</param>
public sealed record TypeFile(string Name, string Json);

/// <summary>Something wrong with a user's type.</summary>
/// <param name="File">Name of the file.</param>
/// <param name="Refusal">What, where in it, and the remedy.</param>
public sealed record TypeFault(string File, Refusal Refusal);

/// <summary>A catalogue with what was left out of it.</summary>
public sealed record CatalogueReading(TypeCatalogue Catalogue, IReadOnlyList<TypeFault> Faults);
