using System.Collections.Immutable;

namespace SweepRig.Sweeps.Queue;

/// <summary>A job on one tube, once: what is recorded before and after, and begun anew when it was cut short. Times are since the night began.</summary>
/// <param name="Index">Place among the steps of the night.</param>
/// <param name="Job">Place of its job.</param>
/// <param name="Socket">From 0.</param>
/// <param name="Turn">Of a job that is repeated, from 0.</param>
public sealed record NightStep(int Index, int Job, int Socket, int Turn)
{
    // A night has thousands of steps and is in memory whole: as text each id would take six times the room.
    private readonly ImmutableArray<Guid> _runs = [];

    public StepState State { get; init; } = StepState.Waiting;

    /// <summary>How often it was begun.</summary>
    public int Attempts { get; init; }

    /// <summary>It is not begun before this.</summary>
    public TimeSpan NotBefore { get; init; }

    /// <summary>Null before its last begin.</summary>
    public TimeSpan? BeganAt { get; init; }

    /// <summary>When it was done with; null before.</summary>
    public TimeSpan? EndedAt { get; init; }

    /// <summary>What came of it or why it was left out, for people; null while nothing did.</summary>
    public string? Verdict { get; init; }

    /// <summary>Runs that are on record of its last attempt, by their ids of 32 hexadecimal digits.</summary>
    /// <exception cref="FormatException">Set to something else than ids of runs.</exception>
    public ImmutableArray<string> Runs
    {
        get => [.. _runs.Select(r => r.ToString("N"))];
        init => _runs = [.. value.Select(r => Guid.ParseExact(r, "N"))];
    }

    /// <summary>Charge that went into the grid.</summary>
    public double Coulombs { get; init; }

    /// <summary>What did not reach for it.</summary>
    public Shortage Short { get; init; }

    public bool IsOver => State is not (StepState.Waiting or StepState.Running);
}

public enum StepState
{
    Waiting,
    Running,

    /// <summary>Done, and nothing spoke against the tube.</summary>
    Passed,

    /// <summary>Done, or given up; its verdict says what was wrong.</summary>
    Failed,

    /// <summary>Left out on account of the tube, of another job, or of a person.</summary>
    Skipped,

    /// <summary>The night's time or one of its limits did not reach.</summary>
    NotReached,
}

public enum Shortage
{
    None,
    Time,
    HeaterTime,
    Charge,
}

/// <summary>What a step needs. Bounds where they say so, so that a limit is never passed because of a hope.</summary>
/// <param name="Takes">From a warm tube, or for <paramref name="FromCold"/> a cold one, to its end; expected.</param>
/// <param name="Hot">Of it with the heaters on.</param>
/// <param name="Coulombs">Most charge into the grid.</param>
/// <param name="RailAmps">Most plate and screen current.</param>
/// <param name="RailWatts">Most power from the plate rail.</param>
/// <param name="FromCold">It begins with a cold tube.</param>
/// <param name="HighestDrive">Highest drive, V; a permit is needed above 0.</param>
public sealed record StepNeeds(TimeSpan Takes, TimeSpan Hot, double Coulombs, double RailAmps, double RailWatts, bool FromCold, double HighestDrive);

/// <summary>What came of a step.</summary>
/// <param name="Verdict">For people.</param>
public abstract record StepOutcome(string Verdict)
{
    public sealed record Passed(string Verdict) : StepOutcome(Verdict);

    public sealed record Failed(string Verdict) : StepOutcome(Verdict);

    /// <summary>The tube is to be left alone for the rest of the night.</summary>
    public sealed record TubeOut(string Verdict) : StepOutcome(Verdict);

    /// <summary>It says nothing of the tube and is begun anew.</summary>
    public sealed record Again(string Verdict) : StepOutcome(Verdict);
}
