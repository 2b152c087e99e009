using System.Globalization;

namespace SweepRig.Sweeps.Queue;

/// <content>What is due.</content>
public sealed partial record Night
{
    /// <summary>What is to be done now, or what is waited for and until when.</summary>
    public NightAct Next(TimeSpan at)
    {
        if (IsOver) return new NightAct.Over();
        if (Running is { } running) return new NightAct.Follow(running.Index);
        if (HeldBecause is { } why) return new NightAct.Wait(null, why, HeatersOff: NeedsPerson || at - HeldSince > RestAfter);
        var due = default(NightStep);
        foreach (var index in _order)
        {
            var step = Steps[index];
            if (step.State != StepState.Waiting || step.NotBefore > at || !IsFree(step) || !Fits(step, at, now: true)) continue;
            due = step;
            break;
        }
        if (due is null) return Waiting(at);
        var lead = Lead(due, at);
        return NeedsOf(due).FromCold && lead > TimeSpan.Zero
            ? new NightAct.Wait(at + lead, $"{TubeAt(due.Socket)} cools down for {JobOf(due).Name}", HeatersOff: true)
            : new NightAct.Begin(due.Index);
    }

    private NightAct.Wait Waiting(TimeSpan at)
    {
        var wakes = Steps.Where(s => s.State == StepState.Waiting && IsFree(s)).Select(s => (Step: s, At: Earliest(s, at))).Where(w => w.At > at).OrderBy(w => w.At).FirstOrDefault();
        if (wakes.Step is not { } next) return new NightAct.Wait(null, "nothing is due", HeatersOff: true);
        var until = wakes.At!.Value;
        return new NightAct.Wait(until, next.NotBefore >= until ? $"{JobOf(next).Name} on {TubeAt(next.Socket)} is due then" : $"the window of {JobOf(next).Name} opens then", until - at > RestAfter);
    }

    /// <summary>All that it comes after is done with, and the turn before it.</summary>
    private bool IsFree(NightStep step) => Before(step).All(s => s.IsOver);

    private IEnumerable<NightStep> Before(NightStep step) => StepOf(step.Job, step.Socket, step.Turn - 1) is { } previous ? Conditions(step).Append(previous) : Conditions(step);

    /// <summary>Of a job that works on the same tube, its steps there; else all of its steps.</summary>
    private IEnumerable<NightStep> Conditions(NightStep step)
    {
        foreach (var job in Setup.Jobs[step.Job].After)
        {
            var here = StepOf(job, step.Socket, 0) is not null;
            foreach (var before in StepsOf(job))
                if (!here || before.Socket == step.Socket) yield return before;
        }
    }

    private bool Fits(NightStep step, TimeSpan at, bool now)
    {
        foreach (var slot in Setup.Jobs[step.Job].Open)
            if (Fits(step, at, slot, now)) return true;
        return false;
    }

    private bool Fits(NightStep step, TimeSpan at, TimeSlot slot, bool now)
    {
        if (now && slot.Opens > at) return false;
        var begins = Later(Later(at, step.NotBefore), slot.Opens);
        return begins + Lead(step, begins) + NeedsOf(step).Takes <= slot.Closes;
    }

    /// <summary>When it can be begun at the earliest; null for never.</summary>
    private TimeSpan? Earliest(NightStep step, TimeSpan at) => Setup.Jobs[step.Job].Open.Where(slot => Fits(step, at, slot, now: false))
        .Select(slot => (TimeSpan?)Later(Later(at, step.NotBefore), slot.Opens)).Min();

    /// <summary>What can no longer be, said of each step with its reason; and the end of the night.</summary>
    /// <param name="all">Something else than time may have decided on a step.</param>
    private Night Settled(TimeSpan at, bool all)
    {
        var night = this;
        for (var again = all || at >= SureUntil; again;)
        {
            again = false;
            var sure = TimeSpan.MaxValue;
            foreach (var step in night.Steps)
            {
                if (step.State != StepState.Waiting) continue;
                if (night.Against(step, at) is { } against)
                {
                    night = night.Changed(step with { State = against.State, Verdict = against.Why, Short = against.Short, EndedAt = at });
                    // What hangs on it may be decided with it.
                    again = true;
                }
                else if (night.CanUntil(step, at) is var until && until < sure)
                {
                    sure = until;
                }
            }
            night = night with { SureUntil = sure };
        }
        if (night.IsOver) return night;
        foreach (var step in night.Steps)
            if (!step.IsOver) return night;
        return night with { OverBecause = "all steps are done with", HeldBecause = null, NeedsPerson = false, HeldSince = null };
    }

    /// <summary>Until then at least it can still be begun, as far as time decides.</summary>
    private TimeSpan CanUntil(NightStep step, TimeSpan at)
    {
        var needs = NeedsOf(step);
        var until = Setup.Jobs[step.Job].Open[^1].Closes - needs.Takes - Later(Setup.WarmAfter, Setup.CoolAfter);
        if (Setup.Order.Limits.HeaterTime is not { } most) return until;
        var heated = at + (most - needs.Takes - HeaterTime(at));
        return heated < until ? heated : until;
    }

    private (StepState State, string Why, Shortage Short)? Against(NightStep step, TimeSpan at)
    {
        if (Out.TryGetValue(step.Socket, out var why)) return (StepState.Skipped, $"{TubeAt(step.Socket)} is left alone: {why}", Shortage.None);
        if (JobOf(step).IfPassed && Conditions(step).FirstOrDefault(s => s.IsOver && s.State != StepState.Passed) is { } failed)
            return (StepState.Skipped, $"{JobOf(failed).Name} on {TubeAt(failed.Socket)} did not pass: {failed.Verdict}", Shortage.None);
        var needs = NeedsOf(step);
        if (Setup.Order.Limits.PositiveCoulombs is { } most && needs.Coulombs > 0 && Coulombs + needs.Coulombs > most)
            return (StepState.NotReached, string.Create(CultureInfo.InvariantCulture, $"up to {1e3 * needs.Coulombs:0.###} mC may go into the grid; the night's limit of {1e3 * most:0.###} mC leaves {1e3 * Math.Max(0, most - Coulombs):0.###} mC"), Shortage.Charge);
        if (Setup.Order.Limits.HeaterTime is { } heaters && HeaterTime(at) + needs.Hot > heaters)
            return (StepState.NotReached, $"it takes {Text(needs.Hot)} with the heaters on; the night's limit of {Text(heaters)} leaves {Text(Rest(heaters - HeaterTime(at)))}", Shortage.HeaterTime);
        if (Fits(step, at, now: false)) return null;
        var slots = Setup.Jobs[step.Job].Open;
        if (slots.Count == 0) return (StepState.NotReached, $"its window {JobOf(step).Window ?? Setup.Order.Window} does not come in this night", Shortage.Time);
        var left = Rest(slots[^1].Closes - Later(at, step.NotBefore));
        return (StepState.NotReached, $"it takes {Text(Lead(step, at) + needs.Takes)} and its window closes in {Text(left)}", Shortage.Time);
    }

    private string TubeAt(int socket) => Setup.SeatAt(socket).Tube.Label;

    private static TimeSpan Later(TimeSpan one, TimeSpan other) => one > other ? one : other;

    internal static string Text(TimeSpan time) => time.TotalHours >= 1
        ? string.Create(CultureInfo.InvariantCulture, $"{(int)time.TotalHours} h {time.Minutes} min")
        : time.TotalMinutes >= 1 ? string.Create(CultureInfo.InvariantCulture, $"{(int)time.TotalMinutes} min {time.Seconds} s") : string.Create(CultureInfo.InvariantCulture, $"{time.TotalSeconds:0.#} s");
}
