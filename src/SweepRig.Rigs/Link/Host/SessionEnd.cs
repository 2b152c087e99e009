namespace SweepRig.Rigs.Link.Host;

/// <summary>Why a connection ended, for people, and whether trying again can help.</summary>
internal sealed record SessionEnd(string Reason, bool Retrying);
