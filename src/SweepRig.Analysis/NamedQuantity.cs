namespace SweepRig.Analysis;

/// <summary>Something that tubes can be graded, matched and followed by.</summary>
/// <param name="Word">Kebab-case, what it belongs to before a dot, for example <c>pentode.vol</c>.</param>
/// <param name="Unit">SI symbol as its figures have it; <c>1</c> for a ratio.</param>
/// <param name="Meaning">For people, in a few words.</param>
public sealed record NamedQuantity(string Word, string Unit, string Meaning);
