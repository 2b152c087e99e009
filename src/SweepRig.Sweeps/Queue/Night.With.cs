namespace SweepRig.Sweeps.Queue;

/// <content>From one state to the next.</content>
public sealed partial record Night
{
    private static readonly TimeSpan FirstRetry = TimeSpan.FromSeconds(5), LongestRetry = TimeSpan.FromMinutes(10);

    /// <exception cref="InvalidOperationException">The bench did what this night did not ask of it.</exception>
    public Night With(NightEvent happened, TimeSpan at)
    {
        ArgumentNullException.ThrowIfNull(happened);
        if (IsOver && happened is not (NightEvent.HeatersOn or NightEvent.HeatersOff)) return this;
        var after = happened switch
        {
            NightEvent.StepBegan began => Began(Sure(began.Step, StepState.Waiting), at),
            NightEvent.RunBegan run => Sure(run.Step, StepState.Running) is var step ? Changed(step with { Runs = step.Runs.Add(run.RunId) }) : this,
            NightEvent.StepEnded ended => EndedStep(Sure(ended.Step, StepState.Running), ended.Outcome, ended.Coulombs, at),
            NightEvent.HeatersOn => HeatersSince is null ? this with { HeatersSince = at, ColdSince = null } : this,
            NightEvent.HeatersOff => HeatersSince is null ? this : this with { HeatersBefore = HeaterTime(at), HeatersSince = null, ColdSince = at },
            NightEvent.Acknowledged => this with { Acknowledgements = Acknowledgements + 1 },
            // What needs a person stays until he says so, whatever else comes and goes meanwhile.
            NightEvent.Held held => NeedsPerson && !held.NeedsPerson ? this : this with { HeldBecause = held.Why, NeedsPerson = held.NeedsPerson, HeldSince = HeldSince ?? at },
            NightEvent.Freed => this with { HeldBecause = null, NeedsPerson = false, HeldSince = null },
            NightEvent.JobSkipped skipped => Skipped(skipped, at),
            NightEvent.Ended ended => Ended(ended.Why, at),
            NightEvent.Tick => this,
            _ => throw new InvalidOperationException($"SweepRig bug: a night does not know {happened.GetType().Name}."),
        };
        var all = happened is NightEvent.JobSkipped or NightEvent.Ended or NightEvent.StepEnded { Outcome: not StepOutcome.Passed } || after.Coulombs > Coulombs;
        return after.Settled(at, all);
    }

    private Night Began(NightStep step, TimeSpan at) =>
        Changed(step with { State = StepState.Running, Attempts = step.Attempts + 1, BeganAt = at, Verdict = null, Runs = [] }).Spaced(step, at) with { RunningIndex = step.Index };

    /// <summary>The next turn counts from this begin, so that a delay is never made up for by a burst.</summary>
    private Night Spaced(NightStep step, TimeSpan began) =>
        JobOf(step).Every is { } every && StepOf(step.Job, step.Socket, step.Turn + 1) is { IsOver: false } next
            ? Changed(next with { NotBefore = began + every.Interval })
            : this;

    private Night EndedStep(NightStep step, StepOutcome outcome, double coulombs, TimeSpan at)
    {
        var night = this with { Coulombs = Coulombs + coulombs, RunningIndex = -1 };
        var ended = step with { EndedAt = at, Verdict = OneOfAKind(outcome.Verdict), Coulombs = step.Coulombs + coulombs };
        switch (outcome)
        {
            case StepOutcome.Passed:
                return night.Changed(ended with { State = StepState.Passed });
            case StepOutcome.TubeOut:
                return night.Changed(ended with { State = StepState.Failed }) with { Out = Out.SetItem(step.Socket, outcome.Verdict) };
            case StepOutcome.Again when step.Attempts < Setup.Order.Limits.Attempts:
                var wait = FirstRetry * Math.Pow(2, step.Attempts - 1);
                return night.Changed(ended with { State = StepState.Waiting, EndedAt = null, NotBefore = at + (wait < LongestRetry ? wait : LongestRetry) });
            case StepOutcome.Again:
                return night.Changed(ended with { State = StepState.Failed, Verdict = $"given up after {step.Attempts} attempts: {outcome.Verdict}" });
            default:
                return night.Changed(ended with { State = StepState.Failed });
        }
    }

    private Night Skipped(NightEvent.JobSkipped skipped, TimeSpan at)
    {
        var night = this;
        foreach (var step in StepsOf(skipped.Job).Where(s => s.State == StepState.Waiting)) night = night.Changed(step with { State = StepState.Skipped, Verdict = skipped.Why, EndedAt = at });
        return night;
    }

    private Night Ended(string why, TimeSpan at)
    {
        var night = this;
        foreach (var step in Steps.Where(s => !s.IsOver)) night = night.Changed(step with { State = StepState.NotReached, Verdict = why, EndedAt = at });
        return night with { RunningIndex = -1, OverBecause = why, HeldBecause = null, NeedsPerson = false, HeldSince = null };
    }

    private NightStep Sure(int index, StepState state) => Steps[index] is var step && step.State == state
        ? step
        : throw new InvalidOperationException($"SweepRig bug: step {index} of the night is {Steps[index].State} where {state} was due.");
}
