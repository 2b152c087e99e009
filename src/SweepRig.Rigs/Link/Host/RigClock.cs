namespace SweepRig.Rigs.Link.Host;

/// <summary>Extends the low 32 bits of a rig's clock (which wrap after 71.6 minutes) to 64 bit. Anchored by the full reading in Identity.</summary>
public sealed class RigClock(long anchorTicks)
{
    /// <summary>Frames are put together at different moments, so a reading may be a little older than one before it. More is a restart.</summary>
    public const long ToleranceMicroseconds = 1_000_000;

    private long newestTicks = anchorTicks;

    /// <param name="low">Low 32 bits of a reading taken within 35 minutes of the newest one.</param>
    /// <param name="rigTicks">The whole reading, microseconds since the rig's reset.</param>
    /// <returns>False if the clock has gone back: the rig has restarted.</returns>
    public bool TryExtend(uint low, out long rigTicks)
    {
        rigTicks = newestTicks + (int)(low - (uint)newestTicks);
        if (rigTicks < newestTicks - ToleranceMicroseconds) return false;
        newestTicks = Math.Max(newestTicks, rigTicks);
        return true;
    }
}
