using System.Collections.Immutable;

namespace SweepRig.Sweeps.Queue;

/// <summary>
/// The unattended work of one rig as a state without clock or hardware. All times are since the night began, by a clock that is never set: windows were turned into such
/// times once, so that neither summer time nor a hand on the computer's clock moves a step.
/// </summary>
public sealed partial record Night
{
    /// <summary>Heaters are switched off over a wait that is longer than this: a cathode at rest ages as one that works, and warms again in less. Common practice, no source.</summary>
    public static TimeSpan RestAfter { get; } = TimeSpan.FromMinutes(10);

    /// <summary>Index of the first step of each job.</summary>
    private readonly ImmutableArray<int> _first;

    /// <summary>Steps in the order in which they are begun where all of them could be.</summary>
    private readonly ImmutableArray<int> _order;

    private Night(NightSetup setup)
    {
        Setup = setup;
        var first = 0;
        _first = [.. setup.Jobs.Select(j => (first += j.Needs.Count * Turns(j)) - j.Needs.Count * Turns(j))];
        Steps = [.. setup.Jobs.SelectMany((j, job) => Enumerable.Range(0, Turns(j)).SelectMany(turn => j.Needs.Select(n => (Job: job, Socket: n.Key, Turn: turn))))
            .Select((s, index) => new NightStep(index, s.Job, s.Socket, s.Turn))];
        _order = [.. Steps.OrderByDescending(s => JobOf(s).Rank).ThenBy(s => s.Job).ThenBy(s => s.Turn).ThenBy(s => s.Index).Select(s => s.Index)];
    }

    public NightSetup Setup { get; }

    public ImmutableArray<NightStep> Steps { get; private init; }

    /// <summary>Tubes that are left alone for the rest of the night, by socket, each with the reason.</summary>
    public ImmutableSortedDictionary<int, string> Out { get; private init; } = ImmutableSortedDictionary<int, string>.Empty;

    /// <summary>Since when the heaters are on; null while they are off.</summary>
    public TimeSpan? HeatersSince { get; private init; }

    /// <summary>Since when the heaters are off, as far as is known; null while they are on.</summary>
    public TimeSpan? ColdSince { get; private init; } = TimeSpan.Zero;

    /// <summary>Charge that went into grids.</summary>
    public double Coulombs { get; private init; }

    /// <summary>Trips that the night released by itself.</summary>
    public int Acknowledgements { get; private init; }

    /// <summary>Why nothing can be begun; null where something can.</summary>
    public string? HeldBecause { get; private init; }

    /// <summary>Since when; null while nothing holds it.</summary>
    public TimeSpan? HeldSince { get; private init; }

    /// <summary>It is held by something that only a person releases.</summary>
    public bool NeedsPerson { get; private init; }

    /// <summary>Why it is over, for people; null before.</summary>
    public string? OverBecause { get; private init; }

    private TimeSpan HeatersBefore { get; init; }

    /// <summary>Place of the step under way; below 0 for none.</summary>
    private int RunningIndex { get; init; } = -1;

    /// <summary>Until then no step that waits can have become impossible by time alone.</summary>
    private TimeSpan SureUntil { get; init; } = TimeSpan.MinValue;

    public bool IsOver => OverBecause is not null;

    public NightStep? Running => RunningIndex < 0 ? null : Steps[RunningIndex];

    public static Night Begin(NightSetup setup)
    {
        ArgumentNullException.ThrowIfNull(setup);
        return new Night(setup).Settled(TimeSpan.Zero, all: true);
    }

    /// <summary>A night of which a part is on record, in a new process. A step that was under way is begun anew.</summary>
    /// <param name="done">Steps as they were recorded; those of which nothing was stay as they are at the begin.</param>
    /// <param name="heaters">Time that the heaters were on.</param>
    /// <param name="coulombs">Charge that went into grids.</param>
    /// <param name="acknowledgements">Trips that the night released.</param>
    /// <param name="out">Tubes left alone.</param>
    /// <param name="at">Now.</param>
    public static Night Resume(
        NightSetup setup, IEnumerable<NightStep> done, TimeSpan heaters, double coulombs, int acknowledgements, IEnumerable<KeyValuePair<int, string>> @out, TimeSpan at)
    {
        ArgumentNullException.ThrowIfNull(setup);
        ArgumentNullException.ThrowIfNull(done);
        var night = new Night(setup) { HeatersBefore = heaters, Coulombs = coulombs, Acknowledgements = acknowledgements, Out = @out.ToImmutableSortedDictionary(), ColdSince = at };
        foreach (var step in done)
        {
            var back = step.State == StepState.Running ? step with { State = StepState.Waiting, Verdict = "cut short; begun anew" } : step with { Verdict = night.OneOfAKind(step.Verdict) };
            night = night.Changed(back);
            if (step.BeganAt is { } began) night = night.Spaced(step, began);
        }
        return night.Settled(at, all: true);
    }

    public NightJob JobOf(NightStep step) => Setup.Jobs[step.Job].Job;

    public StepNeeds NeedsOf(NightStep step) => Setup.Jobs[step.Job].NeedsAt(step.Socket);

    /// <summary>How long the heaters were on until then.</summary>
    public TimeSpan HeaterTime(TimeSpan at) => HeatersBefore + (HeatersSince is { } since ? at - since : TimeSpan.Zero);

    /// <summary>From the begin of a step until it can measure: the tube gets warm, or cold first.</summary>
    public TimeSpan Lead(NightStep step, TimeSpan at)
    {
        ArgumentNullException.ThrowIfNull(step);
        if (NeedsOf(step).FromCold) return ColdSince is { } cold ? Rest(Setup.CoolAfter - (at - cold)) : Setup.CoolAfter;
        return HeatersSince is { } since ? Rest(Setup.WarmAfter - (at - since)) : Setup.WarmAfter;
    }

    /// <returns>Null where the job does not work on that socket, or has no such turn.</returns>
    public NightStep? StepOf(int job, int socket, int turn)
    {
        var needs = Setup.Jobs[job].Needs;
        if (turn < 0 || turn >= Turns(Setup.Jobs[job])) return null;
        for (var place = 0; place < needs.Count; place++)
            if (needs[place].Key == socket) return Steps[_first[job] + turn * needs.Count + place];
        return null;
    }

    private IEnumerable<NightStep> StepsOf(int job)
    {
        var count = Setup.Jobs[job].Needs.Count * Turns(Setup.Jobs[job]);
        for (var index = _first[job]; index < _first[job] + count; index++) yield return Steps[index];
    }

    private static int Turns(SetJob job) => job.Job.Every?.Times ?? 1;

    private static TimeSpan Rest(TimeSpan left) => left > TimeSpan.Zero ? left : TimeSpan.Zero;

    /// <summary>Thousands of steps say much the same: equal words are held once.</summary>
    private string? OneOfAKind(string? verdict) => Steps.FirstOrDefault(s => s.Verdict == verdict)?.Verdict ?? verdict;

    private Night Changed(NightStep step) => this with { Steps = Steps.SetItem(step.Index, step) };
}
