namespace SweepRig.Analysis.Spice;

/// <summary>Text of a library file and the subcircuits that are in it.</summary>
/// <param name="Text">ASCII, lines ended by LF; to be included into a deck.</param>
/// <param name="Subcircuits">Name and pins in order, the main one first.</param>
public sealed record SpiceLibrary(string Text, IReadOnlyList<SpiceSubcircuit> Subcircuits);

/// <param name="Name">What an X line ends with.</param>
/// <param name="Pins">In the order of the X line.</param>
public sealed record SpiceSubcircuit(string Name, IReadOnlyList<string> Pins);
