namespace SweepRig.Service.Vitals;

/// <summary>When this service started: by the wall clock, and by the clock that nobody sets.</summary>
public sealed class ProcessStart(TimeProvider time)
{
    private readonly long _at = time.GetTimestamp();

    public DateTimeOffset Utc { get; } = time.GetUtcNow();

    public TimeSpan Ago => time.GetElapsedTime(_at);
}
