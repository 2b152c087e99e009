namespace SweepRig.Domain.Watching;

/// <summary>What an event is about. Alarms are chosen and gathered by it; its name is stored.</summary>
public enum EventKind
{
    /// <summary>An interlock fired.</summary>
    Trip,

    /// <summary>A trip was acknowledged and the latch released.</summary>
    TripReleased,

    /// <summary>The bench saw a state that its interlocks must never allow.</summary>
    InvariantBroken,

    RigGone,
    RigBack,

    /// <summary>Another rig than before answers.</summary>
    RigExchanged,

    PermitGranted,
    PermitEnded,

    /// <summary>Samples could not be recorded.</summary>
    RecordingFailed,

    /// <summary>A run ended before it was complete, without a trip.</summary>
    RunIncomplete,

    /// <summary>The server of a shared store is away; what is recorded waits.</summary>
    StoreAway,
    StoreBack,
    DiskLow,
    DiskEnough,

    /// <summary>A tube changed by more than the measurements can be wrong.</summary>
    Drift,

    NightBegun,

    /// <summary>A night ended: all done, out of time, or ended by someone.</summary>
    NightEnded,

    /// <summary>A night will not get done what it was given, or runs late.</summary>
    NightLate,

    /// <summary>A job failed and will be tried again.</summary>
    JobFailed,

    /// <summary>A job will not be tried again this night.</summary>
    JobGivenUp,

    /// <summary>The rest of a tube's work was left out.</summary>
    TubeSkipped,

    ClockTrouble,

    /// <summary>The service has started again after it was killed or the power failed.</summary>
    ServiceRestarted,

    /// <summary>An alarm could not be brought where it was to go.</summary>
    AlarmNotDelivered,

    /// <summary>The service gave no sign of life, because it is not well or because the sign was not taken.</summary>
    HeartbeatMissed,

    /// <summary>The file that says where alarms go cannot be used.</summary>
    AlarmsUnusable,

    /// <summary>Where alarms go was changed while the service runs.</summary>
    AlarmsChanged,

    /// <summary>More was told than could be kept.</summary>
    EventsLost,

    /// <summary>A way of alarms was tried.</summary>
    Trial,
}
