namespace SweepRig.Domain.Runs;

/// <summary>Points of a pass that stay missing. Never joined over when drawn or analysed.</summary>
/// <param name="Pass">Pass within the run.</param>
/// <param name="FirstPoint">First missing point.</param>
/// <param name="Points">How many in a row.</param>
/// <param name="Reason">Why, for a person.</param>
public sealed record Gap(int Pass, int FirstPoint, int Points, string Reason);
