namespace SweepRig.Domain.Runs;

public enum RunState
{
    Running,

    /// <summary>All passes ran to their end; gaps may still remain and are recorded.</summary>
    Complete,

    /// <summary>The operator stopped it.</summary>
    Stopped,

    /// <summary>An interlock ended it.</summary>
    Tripped,

    /// <summary>The process or the recording ended before the run did.</summary>
    Incomplete,
}
