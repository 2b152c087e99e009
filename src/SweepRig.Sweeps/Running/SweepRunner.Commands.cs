using System.Globalization;
using Microsoft.Extensions.Logging;
using SweepRig.Domain;
using SweepRig.Domain.Interlocks;
using SweepRig.Domain.Logging;
using SweepRig.Domain.Plans;
using SweepRig.Domain.Quantities;
using SweepRig.Domain.Runs;
using SweepRig.Domain.Tubes;
using SweepRig.Rigs;
using SweepRig.Rigs.Calibration;
using SweepRig.Sweeps.Interlocks;
using SweepRig.Sweeps.Planning;
using SweepRig.Sweeps.Screening;

namespace SweepRig.Sweeps.Running;

/// <content>What people ask for. Each answers with a value or with every reason against it.</content>
public sealed partial class SweepRunner
{
    private const int MaxReasonLength = 200;

    private void Check(SweepRequest request, TaskCompletionSource<Outcome<PlannedRun>> answer)
    {
        var planned = Plan(request);
        answer.TrySetResult(planned.Map(p => p.Run));
    }

    private Outcome<SweepProgram> Plan(SweepRequest request)
    {
        if (_link != RigLinkState.Connected || _identity is null || _limits is null || _calibration is null)
            return Outcome<SweepProgram>.Refuse(Refusals.NotConnected("a sweep was asked for", _rig.Name, _linkFault));
        var now = _clock.SteadyUtc();
        if (request.Plan.Adaptive is not null && _options.ChooseDrives is null)
        {
            return Outcome<SweepProgram>.Refuse(new Refusal(
                "adaptive-not-available", "/adaptive", "points are to go where they tell most", "nothing here chooses them", "Leave \"adaptive\" out, or use the service, which does."));
        }
        var heater = request.Plan.SecondSource is { Source: SteppedSource.Heater } stepped ? stepped.From : request.Plan.Connection.Heater;
        return SweepPlanner.Plan(request, new(
            _identity, _calibration, LimitsNow!, _interlock.Permit is { } permit && now < permit.EndsUtc ? permit : null, now, WarmUpLeft(heater.Value), WarmAfter,
            _options.RatingsOf(request.Tube.TypeName)));
    }

    private void StartRun(SweepRequest request, TaskCompletionSource<Outcome<RunHeader>> answer) => Start(
        "a sweep was asked for",
        () => Plan(request),
        (id, startedUtc, run) => new(
            id, startedUtc, request.Tube, request.Socket, request.Plan, run.Passes, _calibration!.At(startedUtc), _identity!, _options.SoftwareVersion, _interlock.Permit)
        {
            Study = request.Study,
        },
        isWatch: false, answer);

    private void StartStep(ScreeningRequest request, TaskCompletionSource<Outcome<RunHeader>> answer) => Start(
        "a step of a screening was asked for",
        () => _link != RigLinkState.Connected || _identity is null || _limits is null || _calibration is null
            ? Outcome<SweepProgram>.Refuse(Refusals.NotConnected("a step of a screening was asked for", _rig.Name, _linkFault))
            : ScreeningPlanner.Plan(request, new(
                _identity, _calibration, LimitsNow!, null, _clock.SteadyUtc(), TimeSpan.Zero, WarmAfter, _options.RatingsOf(request.Tube.TypeName))),
        (id, startedUtc, run) => new(
            id, startedUtc, request.Tube, request.Socket, ScreeningPlanner.PlanOf(request), run.Passes, _calibration!.At(startedUtc), _identity!, _options.SoftwareVersion, null)
        {
            Screening = request.Study is null ? new(request.ScreeningId, request.Step.Kind) : null,
            Study = request.Study,
        },
        isWatch: true, answer);

    private void Start(
        string asked, Func<Outcome<SweepProgram>> plan, Func<string, DateTimeOffset, PlannedRun, RunHeader> headerOf, bool isWatch, TaskCompletionSource<Outcome<RunHeader>> answer)
    {
        if (_shuttingDown)
        {
            answer.TrySetResult(Outcome<RunHeader>.Refuse(new Refusal("stopping", "", asked, "the program is stopping", "Start it again.")));
            return;
        }
        if (_run is { } busy)
        {
            answer.TrySetResult(Outcome<RunHeader>.Refuse(Refusals.Busy(asked, busy)));
            return;
        }
        TakeUpCalibration();
        if (_interlock.Trip is { } trip)
        {
            answer.TrySetResult(Outcome<RunHeader>.Refuse(Refusals.Tripped(asked, trip)));
            return;
        }
        var trace = new RunTrace(_options.RigName);
        trace.Part("plan");
        var planned = plan();
        if (!planned.IsAccepted)
        {
            trace.End("refused", isError: false);
            answer.TrySetResult(Outcome<RunHeader>.Refuse(planned.Refusals));
            return;
        }
        var startedUtc = _clock.UtcNow;
        var header = headerOf(Guid.CreateVersion7(startedUtc).ToString("N"), startedUtc, planned.Value.Run);
        Apply(new InterlockEvent.SweepArmed(planned.Value.Run.Ceiling.Value));
        if (_interlock.Armed is null) throw new InvalidOperationException("SweepRig bug: the planner let a sweep pass that the interlocks do not.");
        trace.Of(header);
        trace.Part("begin");
        _run = new(planned.Value, header, Feed) { IsWatch = isWatch, Trace = trace };
        _calibrator = Calibrator.For(header);
        _ = BeginAsync(_run, answer);
    }

    private async Task BeginAsync(RunSession run, TaskCompletionSource<Outcome<RunHeader>> answer)
    {
        try
        {
            var recording = await _recorder.BeginAsync(run.Header, CancellationToken.None).ConfigureAwait(false);
            _mailbox.Post(() => Begun(run, recording, answer));
        }
        catch (Exception fault)
        {
            _mailbox.Post(() => NotBegun(run, fault, answer));
        }
    }

    private void NotBegun(RunSession run, Exception fault, TaskCompletionSource<Outcome<RunHeader>> answer)
    {
        _logger.LogError(LogEvents.RunNotOpened, fault, "The record of a run could not be opened");
        _run = null;
        run.Trace?.End("not recorded", isError: true);
        answer.TrySetResult(Outcome<RunHeader>.Refuse(new Refusal(
            "cannot-record", "", "a run was to be recorded", $"the record cannot be opened: {fault.Message}", "Free space or mend the data directory, then start again.")));
        run.Ended.TrySetResult(RunState.Incomplete);
        Apply(new InterlockEvent.SweepEnded());
        TakeUpCalibration();
        if (run.Trip is not null) ShowTrip();
    }

    private void Begun(RunSession run, IRunRecording recording, TaskCompletionSource<Outcome<RunHeader>> answer)
    {
        run.Recording = new(
            recording, run.Viewers, _options.RigName, _time,
            samples => _mailbox.Post(() => run.Recorded += samples),
            fault => _mailbox.Post(() => RecordingFailed(fault)));
        _runs[run.Header.Id] = run.Ended.Task;
        // Ids sort by time.
        while (_runs.Count > RunsRemembered) _runs.TryRemove(_runs.Keys.Min(StringComparer.Ordinal)!, out _);
        answer.TrySetResult(Outcome<RunHeader>.Accept(run.Header));
        if (run.Trip is not null)
        {
            RecordTrip(run);
            return;
        }
        run.Enter(RunStage.AwaitingStatus);
        if (run.Stopping) Finish(run, RunState.Stopped);
        else if (_status is not null) Prepare(run);
        Publish();
    }

    private void Stop(TaskCompletionSource<Outcome<BenchState>> answer)
    {
        if (_run is not { } run)
        {
            answer.TrySetResult(Outcome<BenchState>.Refuse(new Refusal("nothing-runs", "", "a run was to be stopped", "no run is under way", "Nothing needs to be done.")));
            return;
        }
        _ = run.Ended.Task.ContinueWith(
            _ => answer.TrySetResult(Outcome<BenchState>.Accept(_state)), CancellationToken.None, TaskContinuationOptions.ExecuteSynchronously, TaskScheduler.Default);
        StopRun(run);
    }

    private void MakeSafe(string reason, TaskCompletionSource<Outcome<BenchState>> answer)
    {
        _safeWaiters.Add(answer);
        _switchHeaterOff = true;
        Apply(new InterlockEvent.SafeOrdered(reason));
    }

    private void GrantPermit(Volts ceiling, TimeSpan duration, string reason, TaskCompletionSource<Outcome<Permit>> answer)
    {
        var reasons = new List<Refusal>();
        var text = reason.Trim();
        var longest = _interlock.InForce?.LongestPermit ?? Permit.MaxDuration;
        if (LimitsNow is not { } limits || _link != RigLinkState.Connected)
        {
            reasons.Add(Refusals.NotConnected("a permit was asked for", _rig.Name, _linkFault));
        }
        else if (ceiling.Value <= 0 || ceiling > limits.DriveCeiling)
        {
            reasons.Add(new("permit-ceiling", "/ceilingVolts", $"a permit up to {ceiling} was asked for", $"above 0 V, up to this rig's ceiling of {limits.DriveCeiling}, is allowed{PlanChecks.Because(_identity!)}",
                limits.DriveCeiling.Value > 0 ? $"Ask for {limits.DriveCeiling} or less." : "Sweep at or below 0 V, where no permit is needed."));
        }
        if (duration <= TimeSpan.Zero || duration > longest)
        {
            reasons.Add(new("permit-duration", "/durationSeconds", $"a permit for {duration.TotalSeconds.ToString("0.###", CultureInfo.InvariantCulture)} s was asked for",
                $"above 0 s, up to {longest.TotalSeconds:0} s, is allowed{(_interlock.IsUnattended ? " while nobody is at the bench" : "")}", "Ask for as long as the sweep needs."));
        }
        if (text.Length is 0 or > MaxReasonLength || text.Any(char.IsControl))
        {
            reasons.Add(new("permit-reason", "/reason", text.Length == 0 ? "no reason was given" : $"a reason of {text.Length} characters was given",
                $"one line of 1 to {MaxReasonLength} characters is needed", "Say what the positive drive is for; it goes into the log."));
        }
        if (_run is { } run && run.Planned.NeedsPermit)
            reasons.Add(Refusals.Busy("a permit was asked for", run));
        if (reasons.Count > 0)
        {
            answer.TrySetResult(Outcome<Permit>.Refuse(reasons));
            return;
        }
        var permit = new Permit(Guid.NewGuid(), ceiling, duration, text, _clock.SteadyUtc());
        Apply(new InterlockEvent.PermitGranted(permit));
        _permitTimer.Change(duration, Timeout.InfiniteTimeSpan);
        _logger.LogWarning(LogEvents.PermitGranted, "Permit {Permit} for drive up to {Ceiling} granted until {EndsUtc:u}: {Reason}", permit.Id, permit.Ceiling, permit.EndsUtc, permit.Reason);
        answer.TrySetResult(Outcome<Permit>.Accept(permit));
    }

    private void EndPermit(TaskCompletionSource<Outcome<BenchState>> answer)
    {
        if (_interlock.Permit is null)
        {
            answer.TrySetResult(Outcome<BenchState>.Refuse(new Refusal("no-permit", "", "a permit was to be ended", "no permit is in force", "Nothing needs to be done.")));
            return;
        }
        Apply(new InterlockEvent.PermitEnded());
        // A permit that a sweep stands on takes the rig to safe first.
        if (_safesPending > 0 || _unshownTrip is not null) _safeWaiters.Add(answer);
        else answer.TrySetResult(Outcome<BenchState>.Accept(_state));
    }

    private void SetHeater(bool on, Volts heater, TaskCompletionSource<Outcome<BenchState>> answer)
    {
        var asked = on ? $"the heater was to get {heater}" : "the heater was to be switched off";
        if (Against() is { } refusal)
        {
            answer.TrySetResult(Outcome<BenchState>.Refuse(refusal));
            return;
        }
        var wanted = new SupplySetting(on, on ? heater.Value : 0, false, 0, _socket);
        // The latch that a rig starts with is released as part of this act of the operator.
        if (on && _status is { Latched: true })
        {
            Call(_rig.ReleaseAsync, reply =>
            {
                if (reply.Accepted) LatchReleased();
                if (reply.Accepted && !_interlock.IsTripped && _run is null) Switch();
                else Answer(reply);
            });
        }
        else
        {
            Switch();
        }

        void Switch() => SwitchSupplies(wanted, Answer);

        void Answer(RigReply reply)
        {
            Publish();
            answer.TrySetResult(reply.Accepted
                ? Outcome<BenchState>.Accept(_state)
                : Outcome<BenchState>.Refuse(new Refusal(reply.Code, "", asked, $"the rig refused: {reply.Explanation}", "Check the rig, then try again.")));
        }

        Refusal? Against()
        {
            if (_link != RigLinkState.Connected) return Refusals.NotConnected(asked, _rig.Name, _linkFault);
            if (_run is { } run) return Refusals.Busy(asked, run);
            if (!on) return null;
            if (_interlock.Trip is { } trip) return Refusals.Tripped(asked, trip);
            return heater.Value >= PlanLimits.MinSupplyVolts && heater <= ExtraLowVoltage.Limit
                ? null
                : new("heater-out-of-range", "/volts", asked, $"{PlanLimits.MinSupplyVolts} V to {ExtraLowVoltage.Limit} is allowed", "Use the heater voltage of the tube's type.");
        }
    }
}
