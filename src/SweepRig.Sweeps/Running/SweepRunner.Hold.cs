using SweepRig.Domain;
using SweepRig.Domain.Runs;
using SweepRig.Domain.Tubes;
using SweepRig.Rigs.Calibration;
using SweepRig.Sweeps.Interlocks;
using SweepRig.Sweeps.Planning;

namespace SweepRig.Sweeps.Running;

/// <content>Holding a point for a meter: a pass of one code, under the same interlocks as any other, without heater or record.</content>
public sealed partial class SweepRunner
{
    private readonly PositiveHolds _positiveHolds = new();
    private HoldSession? _lastHold;

    private void Hold(HoldRequest request, TaskCompletionSource<Outcome<HoldProgress>> answer)
    {
        const string asked = "a point was to be held for the meter";
        if (Against() is { } refusal)
        {
            answer.TrySetResult(Outcome<HoldProgress>.Refuse(refusal));
            return;
        }
        TakeUpCalibration();
        var used = _positiveHolds.SecondsWithinMinute(_clock.SteadyUtc());
        var planned = HoldPlanner.Plan(request, new(_identity!, _calibration!, LimitsNow!, _interlock.Permit, _clock.SteadyUtc(), used));
        if (!planned.IsAccepted)
        {
            answer.TrySetResult(Outcome<HoldProgress>.Refuse(planned.Refusals));
            return;
        }
        var header = new RunHeader(
            "hold", _clock.UtcNow, new Tube("no tube", "none"), request.Socket, HoldPlanner.PlanOf(request), planned.Value.Run.Passes, _calibration!, _identity!,
            _options.SoftwareVersion, _interlock.Permit);
        Apply(new InterlockEvent.SweepArmed(planned.Value.Run.Ceiling.Value));
        if (_interlock.Armed is null) throw new InvalidOperationException("SweepRig bug: the planner let a hold pass that the interlocks do not.");
        var hold = new HoldSession(request, answer);
        var run = new RunSession(planned.Value, header, new LiveFeed()) { Hold = hold };
        run.Recording = new(
            hold, run.Viewers, _options.RigName, _time,
            samples => _mailbox.Post(() => OnHeld(run, hold, samples)),
            fault => _mailbox.Post(() => RecordingFailed(fault)));
        (_run, _lastHold) = (run, hold);
        _calibrator = Calibrator.For(header);
        run.Enter(RunStage.AwaitingStatus);
        if (_status is not null) Prepare(run);
        Publish();

        Refusal? Against()
        {
            if (_shuttingDown) return new("stopping", "", asked, "the program is stopping", "Start it again.");
            if (_link != RigLinkState.Connected || _identity is null || _limits is null || _calibration is null) return Refusals.NotConnected(asked, _rig.Name, _linkFault);
            if (_run is { } busy) return Refusals.Busy(asked, busy);
            return _interlock.Trip is { } trip ? Refusals.Tripped(asked, trip) : null;
        }
    }

    private void OnHeld(RunSession run, HoldSession hold, int samples)
    {
        run.Recorded += samples;
        if (run.Recorded < HoldSession.EnoughSamples || hold.Started.Task.IsCompleted) return;
        hold.Started.TrySetResult(Outcome<HoldProgress>.Accept(Progress(run, hold)));
        Publish();
    }

    private void HoldBegins(RunSession run)
    {
        if (run.Hold is not { } hold) return;
        hold.HeldFrom = _clock.Now;
        if (run.Planned.NeedsPermit) _positiveHolds.Begin(_clock.SteadyUtc());
    }

    private void HoldEnded(RunSession run, HoldSession hold)
    {
        if (run.Planned.NeedsPermit) _positiveHolds.End(_clock.SteadyUtc());
        if (hold.Started.Task.IsCompleted) return;
        const string asked = "a point was to be held for the meter";
        hold.Started.TrySetResult(Outcome<HoldProgress>.Refuse(run.Trip is { } trip
            ? Refusals.Tripped(asked, trip)
            : new("hold-ended", "", asked, "it was stopped before enough was measured", "Hold it again.")));
    }

    private Outcome<HeldReading> ReadHold()
    {
        const string asked = "the point that is held was to be read";
        if (_lastHold is not { } hold || hold.Blocks.Sum(b => b.Count) < HoldSession.EnoughSamples)
            return Outcome<HeldReading>.Refuse(new Refusal("nothing-held", "", asked, "no point is or was held", "Hold the point, read the meter, then give the reading."));
        return Outcome<HeldReading>.Accept(HeldReading.Of(hold.Blocks));
    }

    private HoldProgress? Holding() => _run is { Hold: { } hold, IsEnding: false } run ? Progress(run, hold) : null;

    private HoldProgress Progress(RunSession run, HoldSession hold)
    {
        var left = hold.HeldFrom is { } from ? hold.Request.Longest - _clock.Since(from) : hold.Request.Longest;
        return new(run.Planned.Ceiling, hold.Request.PlateRailVolts, left > TimeSpan.Zero ? left : TimeSpan.Zero);
    }
}
