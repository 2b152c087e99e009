using SweepRig.Domain;
using SweepRig.Domain.Quantities;
using SweepRig.Domain.Runs;
using SweepRig.Domain.Studies;
using SweepRig.Rigs.Calibration;
using SweepRig.Sweeps.Running;

namespace SweepRig.Sweeps.Studies;

/// <summary>Follows a study through the runner, act by act, by the monotonic clock.</summary>
/// <param name="runner">The door to the rig.</param>
/// <param name="blocksOf">Reads a run that has ended from its record.</param>
/// <param name="permit">Sees to a permit up to a ceiling above 0 V before a sweep needs it; its refusal ends the study.</param>
public sealed class StudyConductor(
    ISweepRunner runner, Func<string, CancellationToken, Task<IReadOnlyList<SampleBlock>>> blocksOf, Func<StudyAct.Sweep, CancellationToken, Task<IReadOnlyList<Refusal>>> permit, TimeProvider time)
{
    /// <summary>Does what is left of a study.</summary>
    /// <param name="study">Where it stands.</param>
    /// <param name="begins">Told before each act, for a display.</param>
    /// <returns>The study at its end.</returns>
    /// <exception cref="OperationCanceledException">Cancelled; the run under way has been stopped.</exception>
    public async Task<IStudy> RunAsync(IStudy study, Action<IStudy, StudyAct> begins, CancellationToken cancellationToken)
    {
        ArgumentNullException.ThrowIfNull(study);
        ArgumentNullException.ThrowIfNull(begins);
        // What was done before a restart took its time on another clock; it counts on from there.
        var (since, before) = (time.GetTimestamp(), study.Elapsed);
        while (study.Next is var act and not StudyAct.Finish)
        {
            cancellationToken.ThrowIfCancellationRequested();
            begins(study, act);
            study = study.With(await DoAsync(study, act, () => before + time.GetElapsedTime(since), cancellationToken).ConfigureAwait(false));
        }
        return study;
    }

    /// <summary>Does one act.</summary>
    /// <param name="now">Time since the study began.</param>
    public async Task<StudyResult> DoAsync(IStudy study, StudyAct act, Func<TimeSpan> now, CancellationToken cancellationToken)
    {
        ArgumentNullException.ThrowIfNull(study);
        ArgumentNullException.ThrowIfNull(now);
        switch (act)
        {
            case StudyAct.Heat heat:
                return Switched(await runner.SetHeaterAsync(true, heat.Heater, cancellationToken).ConfigureAwait(false), now());
            case StudyAct.Cool:
                return Switched(await runner.SetHeaterAsync(false, default(Volts), cancellationToken).ConfigureAwait(false), now());
            case StudyAct.WaitUntil wait:
                if (wait.SinceBegin - now() is { Ticks: > 0 } left) await Task.Delay(left, time, cancellationToken).ConfigureAwait(false);
                return new StudyResult.Done(now());
            case StudyAct.Sweep sweep:
                if (sweep.Ceiling.Value > 0 && await permit(sweep, cancellationToken).ConfigureAwait(false) is { Count: > 0 } refused) return new StudyResult.Refused(refused, now());
                return await RanAsync(
                    runner.StartAsync(new(sweep.Plan, study.Setup.Tube, study.Setup.Socket) { Study = Tag(study, sweep.Role, now()) }, cancellationToken), now, cancellationToken).ConfigureAwait(false);
            case StudyAct.Watch watch:
                return await RanAsync(
                    runner.StartStepAsync(new("", watch.Step, study.Setup.Tube, study.Setup.Fixture, study.Setup.Socket) { Study = Tag(study, watch.Role, now()) }, cancellationToken),
                    now, cancellationToken).ConfigureAwait(false);
            default:
                throw new InvalidOperationException($"SweepRig bug: a study asked for {act}.");
        }
    }

    private static StudyTag Tag(IStudy study, StudyRole role, TimeSpan at) => new(study.Setup.StudyId, study.Setup.Kind, role, study.Done, at, StudyDocument.Write(study.Setup));

    private static StudyResult Switched(Outcome<BenchState> outcome, TimeSpan at) => outcome.IsAccepted ? new StudyResult.Done(at) : new StudyResult.Refused(outcome.Refusals, at);

    private async Task<StudyResult> RanAsync(Task<Outcome<RunHeader>> starting, Func<TimeSpan> now, CancellationToken cancellationToken)
    {
        var begun = now();
        var started = await starting.ConfigureAwait(false);
        if (!started.IsAccepted) return new StudyResult.Refused(started.Refusals, now());
        var header = started.Value;
        var state = await EndAsync(header.Id, cancellationToken).ConfigureAwait(false);
        var ended = now();
        var blocks = await blocksOf(header.Id, cancellationToken).ConfigureAwait(false);
        return new StudyResult.Ran(
            new(header, state, CurveBuilder.Build(header, blocks), state == RunState.Tripped && runner.State.Trip is { } trip ? [trip] : []), begun, ended);
    }

    private async Task<RunState> EndAsync(string run, CancellationToken cancellationToken)
    {
        try
        {
            return await runner.WaitAsync(run, cancellationToken).ConfigureAwait(false);
        }
        catch (OperationCanceledException)
        {
            // Nobody waits for it any more, so it must not go on.
            await runner.StopAsync(CancellationToken.None).ConfigureAwait(false);
            throw;
        }
    }
}
