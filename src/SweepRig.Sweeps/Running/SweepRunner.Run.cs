using Microsoft.Extensions.Logging;
using SweepRig.Domain.Logging;
using SweepRig.Domain.Quantities;
using SweepRig.Domain.Runs;
using SweepRig.Rigs;
using SweepRig.Sweeps.Interlocks;

namespace SweepRig.Sweeps.Running;

/// <content>A run from its first switch to its end on record.</content>
public sealed partial class SweepRunner
{
    /// <summary>A rail this near to the plan is taken for the one that the plan means.</summary>
    private const double RailTolerance = 0.05;
    private const double RailToleranceVolts = 0.2;

    /// <summary>Statuses in a row, about half a second, after which a pass that nobody heard the end of is given up.</summary>
    private const int MaxIdleStatuses = 5;

    private static readonly TimeSpan RailWithin = TimeSpan.FromSeconds(2);
    private static readonly TimeSpan ComplaintWithin = TimeSpan.FromSeconds(1);

    private void Prepare(RunSession run)
    {
        run.Enter(RunStage.Preparing);
        // Not tripped, so a fired latch is the one that a rig starts with; starting a sweep is the act that releases it.
        if (_status is { Latched: true })
        {
            Step(run, _rig.ReleaseAsync, "release its latch", () =>
            {
                LatchReleased();
                SendLimits(run);
            });
        }
        else
        {
            SendLimits(run);
        }
    }

    private void SendLimits(RunSession run)
    {
        if (_limits == _identity?.HardLimits || _limitsSent)
        {
            Heat(run);
            return;
        }
        Step(run, c => _rig.SetLimitsAsync(_limits!, c), "take the limits of this session", () =>
        {
            _limitsSent = true;
            Heat(run);
        });
    }

    private void Heat(RunSession run)
    {
        if (run.Hold is not null || run.IsWatch)
        {
            // Either no tube is in the socket and nothing warms, or the warming is what is watched.
            Energise(run);
            return;
        }
        var wanted = run.Pass.Supplies with { PlateRail = false, PlateRailVolts = 0 };
        if (_status is { HeaterOn: true } && _supplies is { Heater: true } now && now.HeaterVolts == wanted.HeaterVolts && now.Socket == wanted.Socket)
        {
            Warm(run);
            return;
        }
        StepSupplies(run, wanted, () => Warm(run));
    }

    private void Warm(RunSession run)
    {
        run.Enter(RunStage.Warming);
        run.IdleStatuses = 0;
        if (IsWarm) Energise(run);
        else Publish();
    }

    private void Energise(RunSession run)
    {
        run.Enter(RunStage.Energising);
        var wanted = run.Pass.Supplies;
        if (run.Hold is null && !run.IsWatch && _supplies?.HeaterVolts != wanted.HeaterVolts)
        {
            Heat(run);
            return;
        }
        if (_supplies == wanted)
        {
            RunPass(run);
            return;
        }
        StepSupplies(run, wanted, () =>
        {
            run.Enter(RunStage.RailSettling);
            (run.RailSetAt, run.LastSupply) = (_clock.Now, double.NaN);
        });
    }

    /// <summary>A pass begins once the rail has come to what the plan says and rests there; a rail that differs is somebody's mistake.</summary>
    private void ConsiderRail(RunSession run, RigEvent.Status happened)
    {
        if (happened.ReceivedAt < run.RailSetAt) return;
        var planned = run.Pass.Supplies.PlateRailVolts;
        var supply = happened.Value.Supply;
        var near = Math.Abs(supply - planned) <= RailTolerance * planned + RailToleranceVolts;
        var rests = Math.Abs(supply - run.LastSupply) <= 0.2 * (RailTolerance * planned + RailToleranceVolts);
        run.LastSupply = supply;
        if (near && rests) RunPass(run);
    }

    private void RunPass(RunSession run)
    {
        run.Tracker = new(run.Pass.Program);
        run.Rounds = 0;
        run.Again.Clear();
        AnnounceStart(run);
        HoldBegins(run);
        run.Trace?.Pass(run.Pass.Header);
        RunProgram(run, run.Pass.Program);
    }

    private void RunProgram(RunSession run, RigProgram program)
    {
        // The stage comes first: samples may arrive before the answer.
        run.Enter(RunStage.Sweeping);
        (run.IdleStatuses, run.ProgramStarted) = (0, false);
        TellPass(run);
        Step(run, c => _rig.RunAsync(program, c), $"run pass {program.Pass + 1}", () => run.ProgramStarted = true);
        _dirty = true;
    }

    private void OnPassEnded(RigEvent.PassEnded ended)
    {
        if (_run is not { Stage: RunStage.Sweeping } run || ended.Pass != run.PassIndex) return;
        Apply(new InterlockEvent.PassEnded());
        if (run.Stopping)
        {
            Finish(run, RunState.Stopped);
            return;
        }
        if (!ended.Completed)
        {
            Complain(run, "the rig ended the pass by itself");
            return;
        }
        run.Tracker.ProgramEnded(ended.Frames);
        if (run.Again.TryDequeue(out var next))
        {
            RunProgram(run, next);
            return;
        }
        if (run.Hold is null && !run.IsWatch && run.Rounds < RunSession.MaxRounds && run.Tracker.Again() is { Count: > 0 } again)
        {
            run.Rounds++;
            _logger.LogWarning(LogEvents.PointsMeasuredAgain, "Pass {Pass}: {Frames} frames lost; missing points are measured again, round {Round}", run.PassIndex, run.Tracker.FramesLost, run.Rounds);
            foreach (var program in again.Skip(1)) run.Again.Enqueue(program);
            RunProgram(run, again[0]);
            return;
        }
        EndPass(run);
    }

    private void EndPass(RunSession run)
    {
        foreach (var (first, points) in run.Tracker.Missing())
            run.Gaps.Add(new(run.PassIndex, first, points, run.IsWatch ? "lost on the link" : $"lost on the link; measured again {RunSession.MaxRounds} times without success"));
        var ended = new LiveUpdate.PassEnded(run.Header.Id, run.Pass.Header);
        run.Recording!.Then(() => run.Viewers.Publish(ended));
        if (run.PassIndex + 1 == run.Passes.Count)
        {
            Finish(run, RunState.Complete);
            return;
        }
        if (run.Header.Plan.Adaptive is not null)
        {
            Choose(run);
            return;
        }
        run.PassIndex++;
        Energise(run);
    }

    private void StopRun(RunSession run)
    {
        if (run.IsEnding || run.Stopping) return;
        run.Stopping = true;
        switch (run.Stage)
        {
            case RunStage.Beginning:
                break;
            case RunStage.Sweeping:
                Step(run, _rig.StopAsync, "stop", () => { });
                break;
            default:
                Finish(run, RunState.Stopped);
                break;
        }
    }

    private void Finish(RunSession run, RunState final)
    {
        run.Enter(RunStage.Finishing);
        if (!_railMayBeOn)
        {
            Close(run, final);
            return;
        }
        StepSupplies(run, run.Pass.Supplies with { PlateRail = false, PlateRailVolts = 0 }, () => Close(run, final));
        Publish();
    }

    private void Close(RunSession run, RunState final)
    {
        run.Enter(RunStage.Closing);
        run.EndQueued = true;
        run.Trace?.Part("record");
        var state = run.FinalInstead ?? final;
        var endedUtc = _clock.UtcNow;
        Exception? gapsFault = null;
        if (run.Gaps.Count > 0) run.Recording!.Write(r => r.GapsAsync(run.Gaps, CancellationToken.None), fault => gapsFault = fault);
        run.Recording!.Write(
            r => r.EndAsync(state, endedUtc, CancellationToken.None),
            fault => _mailbox.Post(() => Closed(run, state, fault ?? gapsFault)));
    }

    private void Closed(RunSession run, RunState final, Exception? fault)
    {
        if (fault is not null)
        {
            _logger.LogError(LogEvents.RunEndNotRecorded, fault, "The end of run {Run} could not be recorded", run.Header.Id);
            final = RunState.Incomplete;
        }
        else if (run.FinalInstead == RunState.Incomplete)
        {
            final = RunState.Incomplete;
        }
        AnnounceStart(run);
        _run = null;
        run.Trace?.End(SweepTelemetry.Word(final), isError: fault is not null || run.Trip is not null);
        if (run.Hold is null) SweepTelemetry.Ended(_options.RigName, final);
        Apply(new InterlockEvent.SweepEnded());
        TakeUpCalibration();
        if (fault is not null) Apply(new InterlockEvent.RecordingFailed(fault.Message));
        run.Viewers.Publish(new LiveUpdate.RunEnded(run.Header.Id, final));
        _lastClosed = run.Recording!.CloseAsync();
        run.Ended.TrySetResult(final);
        if (run.Hold is { } hold) HoldEnded(run, hold);
    }

    private void RecordingFailed(Exception fault)
    {
        _logger.LogError(LogEvents.SamplesNotRecorded, fault, "Samples could not be recorded");
        if (_run is { } run) run.FinalInstead = RunState.Incomplete;
        Apply(new InterlockEvent.RecordingFailed(fault.Message));
    }

    private static void AnnounceStart(RunSession run)
    {
        if (run.Announced) return;
        run.Announced = true;
        run.Viewers.Publish(new LiveUpdate.RunStarted(run.Header));
    }

    private void OnStatusOfRun(RunSession run, RigEvent.Status happened)
    {
        if (run.IsEnding) return;
        ConsiderComplaint(run, statusArrived: true);
        switch (run.Stage)
        {
            case RunStage.AwaitingStatus:
                Prepare(run);
                break;
            case RunStage.Warming:
                // A heater that goes off by itself would be waited for without end.
                run.IdleStatuses = happened.Value.HeaterOn ? 0 : run.IdleStatuses + 1;
                if (IsWarm) Energise(run);
                else if (run.IdleStatuses >= MaxIdleStatuses) Apply(new InterlockEvent.SafeOrdered("the rig switched the heater off by itself"));
                break;
            case RunStage.RailSettling:
                ConsiderRail(run, happened);
                break;
            case RunStage.Sweeping:
                run.IdleStatuses = happened.Value.Running || !run.ProgramStarted ? 0 : run.IdleStatuses + 1;
                if (run.IdleStatuses < MaxIdleStatuses) break;
                if (run.Stopping) Finish(run, RunState.Stopped);
                else Complain(run, "the rig says that nothing runs, and the end of the pass was not heard of");
                break;
            default:
                break;
        }
    }

    private void OnTickOfRun(RunSession run)
    {
        if (run.IsEnding) return;
        ConsiderComplaint(run, statusArrived: false);
        switch (run.Stage)
        {
            case RunStage.Warming when IsWarm:
                Energise(run);
                break;
            case RunStage.RailSettling when _clock.Since(run.RailSetAt) >= RailWithin:
                Apply(new InterlockEvent.RailOff(
                    double.IsNaN(run.LastSupply) ? "plate rail not reported" : $"plate rail {new Volts(run.LastSupply)}",
                    $"{new Volts(run.Pass.Supplies.PlateRailVolts)} planned, 5 % either way"));
                break;
            default:
                break;
        }
    }

    private void StepSupplies(RunSession run, SupplySetting wanted, Action then)
    {
        var turn = run.Turn;
        SwitchSupplies(wanted, reply => Continue(run, turn, reply, "set its supplies", then));
    }

    private void Step(RunSession run, Func<CancellationToken, Task<RigReply>> ask, string what, Action then)
    {
        var turn = run.Turn;
        Call(ask, reply => Continue(run, turn, reply, what, then));
    }

    private void Continue(RunSession run, int turn, RigReply reply, string what, Action then)
    {
        if (_run != run || run.Turn != turn) return;
        if (reply.Accepted) then();
        else Complain(run, $"the rig did not {what}: {reply.Explanation}");
    }

    /// <summary>
    /// The rig did something unexpected. Often a trip of its own stands behind it, of which the word is still on its way: that cause is the
    /// better one, so the next status or a second is waited for before the host makes safe on its own account.
    /// </summary>
    private void Complain(RunSession run, string complaint)
    {
        if (run.Complaint is not null) return;
        run.Complaint = complaint;
        run.ComplainedAt = _clock.Now;
    }

    private void ConsiderComplaint(RunSession run, bool statusArrived)
    {
        if (run.Complaint is not { } complaint || run.Trip is not null) return;
        if (statusArrived || _clock.Since(run.ComplainedAt) >= ComplaintWithin) Apply(new InterlockEvent.SafeOrdered(complaint));
    }
}
