namespace SweepRig.Sweeps.Queue;

/// <summary>What happens to a night, by the bench or by a person.</summary>
public abstract record NightEvent
{
    public sealed record StepBegan(int Step) : NightEvent;

    /// <summary>A run of the step under way is on record.</summary>
    public sealed record RunBegan(int Step, string RunId) : NightEvent;

    /// <param name="Coulombs">Charge that went into the grid.</param>
    public sealed record StepEnded(int Step, StepOutcome Outcome, double Coulombs) : NightEvent;

    public sealed record HeatersOn : NightEvent;

    public sealed record HeatersOff : NightEvent;

    /// <summary>A trip was released by the night's own rule.</summary>
    public sealed record Acknowledged : NightEvent;

    /// <summary>Nothing can be begun, for this reason.</summary>
    /// <param name="NeedsPerson">It does not pass by itself.</param>
    public sealed record Held(string Why, bool NeedsPerson) : NightEvent;

    public sealed record Freed : NightEvent;

    /// <summary>A person wants nothing more of this job.</summary>
    public sealed record JobSkipped(int Job, string Why) : NightEvent;

    public sealed record Ended(string Why) : NightEvent;

    /// <summary>Time has passed.</summary>
    public sealed record Tick : NightEvent;
}

/// <summary>What is to be done now.</summary>
public abstract record NightAct
{
    /// <summary>Begin this step; the tube is warm or is warmed by it.</summary>
    public sealed record Begin(int Step) : NightAct;

    /// <summary>A step is under way.</summary>
    public sealed record Follow(int Step) : NightAct;

    /// <summary>Nothing until then.</summary>
    /// <param name="Until">Since the night began; null where only an event can change it.</param>
    /// <param name="Why">For people.</param>
    /// <param name="HeatersOff">The heaters are to be off meanwhile.</param>
    public sealed record Wait(TimeSpan? Until, string Why, bool HeatersOff) : NightAct;

    /// <summary>Nothing more.</summary>
    public sealed record Over : NightAct;
}
