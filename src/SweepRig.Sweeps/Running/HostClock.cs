namespace SweepRig.Sweeps.Running;

/// <summary>Host monotonic timestamps and UTC, and the one place that converts between them.</summary>
internal sealed class HostClock(TimeProvider time)
{
    private readonly long _startedAt = time.GetTimestamp();
    private readonly DateTimeOffset _startedUtc = time.GetUtcNow();

    public long Now => time.GetTimestamp();

    public DateTimeOffset UtcNow => time.GetUtcNow();

    /// <summary>
    /// UTC that never goes back: the later of the wall clock and the monotonic one. A wall clock set back lengthens no permit, nor does a computer
    /// that slept, whose monotonic clock stood still.
    /// </summary>
    public DateTimeOffset SteadyUtc()
    {
        var monotonic = _startedUtc + time.GetElapsedTime(_startedAt);
        var wall = time.GetUtcNow();
        return wall > monotonic ? wall : monotonic;
    }

    public TimeSpan Since(long hostTimestamp) => time.GetElapsedTime(hostTimestamp);

    public DateTimeOffset UtcOf(long hostTimestamp) => time.GetUtcNow() - time.GetElapsedTime(hostTimestamp);

    /// <summary>A host timestamp in microseconds, for differences only.</summary>
    public double Microseconds(long hostTimestamp) => time.GetElapsedTime(_startedAt, hostTimestamp).TotalMicroseconds;

    /// <summary>Turns <see cref="Microseconds"/> back into UTC.</summary>
    public DateTimeOffset UtcOfMicroseconds(double hostMicroseconds) => UtcOf(_startedAt) + TimeSpan.FromMicroseconds(hostMicroseconds);
}
