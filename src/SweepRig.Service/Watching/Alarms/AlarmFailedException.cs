namespace SweepRig.Service.Watching.Alarms;

/// <summary>A message could not be brought to where it was to go.</summary>
/// <param name="why">In words of the user, without a full stop.</param>
/// <param name="isFinal">Trying again would not help.</param>
/// <param name="retryAfter">What the other side asks to wait (RFC 9110, 10.2.3); null when it says nothing.</param>
public sealed class AlarmFailedException(string why, bool isFinal, TimeSpan? retryAfter = null, Exception? inner = null) : Exception(why, inner)
{
    public bool IsFinal => isFinal;

    public TimeSpan? RetryAfter => retryAfter;
}
