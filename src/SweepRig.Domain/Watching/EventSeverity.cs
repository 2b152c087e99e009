namespace SweepRig.Domain.Watching;

/// <summary>How much an event matters, rising.</summary>
public enum EventSeverity
{
    /// <summary>Good to know; nothing is wrong.</summary>
    Note,

    /// <summary>Something did not go as planned; the work goes on.</summary>
    Warning,

    /// <summary>Work has stopped on a rig, or could be lost: someone should come and look.</summary>
    Alarm,
}
