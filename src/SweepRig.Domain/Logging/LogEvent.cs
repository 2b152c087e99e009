namespace SweepRig.Domain.Logging;

/// <summary>A kind of line in the log of the service, for whoever reads it or has a program watch it.</summary>
/// <param name="Id">Stable: never given to another kind, nor changed.</param>
/// <param name="Meaning">What has happened, one sentence.</param>
/// <param name="Remedy">What to do; null where nothing is to be done.</param>
public sealed record LogEvent(int Id, string Meaning, string? Remedy = null);
