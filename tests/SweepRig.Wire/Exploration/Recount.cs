namespace SweepRig.Wire.Exploration;

/// <summary>Numbers of firings, of which the latest is always the same.</summary>
internal static class Firing
{
    public const byte Latest = 100;

    /// <summary>What is as old as that is told from nothing.</summary>
    public const byte Oldest = 90;
}

/// <summary>
/// How numbers change when they are counted from where the rig is now, so that two worlds that differ in nothing but their numbers are one: sequences of requests from the newest
/// that the rig has taken, firings from the latest, and the session that the rig is in is always the first of two.
/// </summary>
/// <param name="Newer">By how much the newest request is newer.</param>
/// <param name="Fired">How often the latch has fired.</param>
/// <param name="Swapped">The two numbers of sessions have changed places.</param>
internal readonly record struct Recount(byte Newer, short Fired, bool Swapped)
{
    /// <summary>
    /// What is older than this is as old as this. A rig asks only which of two requests is the newer, and where in the round of 256 numbers a new connection begins is chance: its
    /// first requests are <see cref="HostTurn"/>'s choice, older than all that the line may still hold but these.
    /// </summary>
    public const sbyte LongAgo = -8;

    public bool IsNone => this == default;

    public sbyte Sequence(sbyte sequence) => (sbyte)Math.Max(LongAgo, sequence - (sbyte)Newer);

    public byte Firing(byte firing) => (byte)Math.Max(Exploration.Firing.Oldest, firing - Fired);

    /// <summary>0 stays, which is none.</summary>
    public byte Session(byte session) => (byte)(Swapped && session != 0 ? 3 - session : session);
}
