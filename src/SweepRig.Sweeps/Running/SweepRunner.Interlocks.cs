using Microsoft.Extensions.Logging;
using SweepRig.Domain;
using SweepRig.Domain.Interlocks;
using SweepRig.Domain.Logging;
using SweepRig.Domain.Runs;
using SweepRig.Rigs;
using SweepRig.Sweeps.Interlocks;
using SweepRig.Sweeps.Interlocks.Invariants;

namespace SweepRig.Sweeps.Running;

/// <content>Carries out what the interlocks order: rig safe first, then recorded, then shown.</content>
public sealed partial class SweepRunner
{
    private static readonly TimeSpan SafeWithin = TimeSpan.FromSeconds(1);
    private static readonly TimeSpan AcknowledgeWithin = TimeSpan.FromSeconds(1);

    private readonly List<TaskCompletionSource<Outcome<BenchState>>> _safeWaiters = [];
    private int _safesPending;
    private RigReply _safeReply = RigReply.Done;
    private Trip? _unshownTrip;
    private Trip? _shownTrip;
    private bool _switchHeaterOff;
    private (TaskCompletionSource<Outcome<BenchState>> Answer, long AskedAt)? _acknowledge;
    private TaskCompletionSource<Outcome<BenchState>>? _releaseWaiter;

    /// <summary>What decides; another one only where a test needs a machine that is wrong.</summary>
    internal Func<InterlockState, InterlockEvent, DateTimeOffset, InterlockStep> Machine { get; init; } = InterlockMachine.Next;

    private void Apply(InterlockEvent happened)
    {
        var now = _clock.SteadyUtc();
        var step = Machine(_interlock, happened, now);
        var broken = StepInvariants.Broken(new(_interlock, happened, step, now));
        _interlock = step.State;
        if (broken is null)
        {
            foreach (var order in step.Orders) Execute(order);
            return;
        }
        OnBroken(broken, happened, step, now);
    }

    /// <summary>
    /// The interlocks have done what they must never do, so nothing that they say is taken for good: the rig is made safe before and whatever they
    /// ordered, a release is not carried out, and the bench trips.
    /// </summary>
    private void OnBroken(Invariant<InterlockMoment> broken, InterlockEvent happened, InterlockStep step, DateTimeOffset now)
    {
        Execute(new InterlockOrder.MakeSafe());
        _logger.LogCritical(
            LogEvents.InterlocksBroken, "SweepRig bug: the interlocks broke {Invariant} ({Statement}) at {Happened}; the bench is made safe", broken.Name, broken.Statement, happened);
        foreach (var order in step.Orders)
            if (order is not (InterlockOrder.Release or InterlockOrder.MakeSafe)) Execute(order);
        var cause = $"SweepRig bug: the interlocks broke their own rule '{broken.Name}': {broken.Statement}";
        var after = InterlockMachine.Next(_interlock with { Releasing = false, Armed = _run is null ? null : _interlock.Armed }, new InterlockEvent.SafeOrdered(cause), now);
        _interlock = after.State;
        foreach (var order in after.Orders) Execute(order);
        _options.OnInvariantBroken?.Invoke(broken.Name, cause);
    }

    private void Execute(InterlockOrder order)
    {
        switch (order)
        {
            case InterlockOrder.MakeSafe:
                _safesPending++;
                Call(_rig.MakeSafeAsync, SafeAnswered, SafeWithin);
                break;
            case InterlockOrder.RecordTrip record:
                _unshownTrip = record.Trip;
                SweepTelemetry.Tripped(_options.RigName, record.Trip);
                _logger.LogWarning(LogEvents.Tripped, "Trip: {Cause} {Measured} {Limit}", record.Trip.Cause, record.Trip.Measured, record.Trip.Limit);
                if (_run is { EndQueued: false } run)
                {
                    run.Trip = record.Trip;
                    run.Enter(RunStage.Closing);
                }
                break;
            case InterlockOrder.Release:
                Call(_rig.ReleaseAsync, ReleaseAnswered);
                break;
            case InterlockOrder.Announce:
                if (_safesPending == 0 && _unshownTrip is null) Publish();
                break;
            case InterlockOrder.LogPermitEnd end:
                _permitTimer.Change(Timeout.InfiniteTimeSpan, Timeout.InfiniteTimeSpan);
                _logger.LogWarning(LogEvents.PermitEnded, "Permit {Permit} for drive up to {Ceiling} ended: {Why}", end.Permit.Id, end.Permit.Ceiling, end.Why);
                break;
            default:
                throw new InvalidOperationException($"SweepRig bug: unknown order {order}.");
        }
    }

    private void SafeAnswered(RigReply reply)
    {
        _safeReply = reply;
        if (!reply.Accepted) _logger.LogWarning(LogEvents.SafeNotConfirmed, "The rig did not confirm that it is safe: {Explanation}", reply.Explanation);
        if (--_safesPending > 0) return;
        if (_supplies is not null) _supplies = _supplies with { PlateRail = false };
        if (reply.Accepted) _railMayBeOn = false;
        var heaterOff = _switchHeaterOff && _link == RigLinkState.Connected;
        _switchHeaterOff = false;
        if (heaterOff)
        {
            SwitchSupplies(new(false, 0, false, 0, _socket), _ => SafeIsDone());
            return;
        }
        SafeIsDone();
    }

    private void SafeIsDone()
    {
        if (_safesPending > 0) return;
        if (_unshownTrip is not null && _run is { Trip: not null } run)
        {
            RecordTrip(run);
            return;
        }
        if (_run is { EndQueued: false } other) ReleaseHeld(other);
        ShowTrip();
    }

    /// <summary>Called when the rig is safe and, a second time, when the record has been opened.</summary>
    private void RecordTrip(RunSession run)
    {
        if (run.Recording is not { } recording || _safesPending > 0 || run.EndQueued) return;
        ReleaseHeld(run);
        var trip = run.Trip!;
        recording.Write(
            r => r.TripAsync(trip, CancellationToken.None),
            fault => _mailbox.Post(() =>
            {
                if (fault is not null) _logger.LogError(LogEvents.TripNotRecorded, fault, "The trip could not be recorded");
                ShowTrip();
            }));
        var final = run.FinalInstead ?? (trip.Cause == TripCause.RecordingFailed ? RunState.Incomplete : RunState.Tripped);
        Close(run, final);
    }

    private static void ReleaseHeld(RunSession run)
    {
        if (run.Recording is not { } recording) return;
        foreach (var block in run.Held) recording.Append(block);
        run.Held.Clear();
    }

    private void ShowTrip()
    {
        if (_unshownTrip is { } trip)
        {
            _shownTrip = trip;
            _unshownTrip = null;
        }
        Publish();
        var outcome = _safeReply.Accepted
            ? Outcome<BenchState>.Accept(_state)
            : Outcome<BenchState>.Refuse(new Refusal("safe-not-confirmed", "", "the rig was told to make itself safe", $"it did not confirm: {_safeReply.Explanation}",
                "A rig with a lease makes itself safe when that ends, within a third of a second; one on a direct bus has none. Check its cable and power, and see that its plate rail is off."));
        foreach (var waiter in _safeWaiters) waiter.TrySetResult(outcome);
        _safeWaiters.Clear();
    }

    private void ReleaseAnswered(RigReply reply)
    {
        if (reply.Accepted) LatchReleased();
        if (reply.Accepted && _interlock.Releasing) _shownTrip = null;
        Apply(new InterlockEvent.ReleaseAnswered(reply.Accepted));
        if (_releaseWaiter is not { } waiter) return;
        _releaseWaiter = null;
        waiter.TrySetResult(_interlock.IsTripped
            ? Outcome<BenchState>.Refuse(Refusals.NotReleased(_interlock.Trip!, reply.Explanation))
            : Outcome<BenchState>.Accept(_state));
    }

    /// <summary>A status that was on its way when the latch was released still says that it is fired; it is not believed.</summary>
    private void LatchReleased()
    {
        _latchTrustedFrom = _clock.Now;
        if (_status is not null) _status = _status with { Latched = false, Cause = null, CausesPresent = false };
    }

    private void Acknowledge(TaskCompletionSource<Outcome<BenchState>> answer)
    {
        if (_acknowledge is not null || _releaseWaiter is not null)
        {
            answer.TrySetResult(Outcome<BenchState>.Refuse(new Refusal("busy", "", "acknowledge", "another acknowledgement is under way", "Wait for it.")));
            return;
        }
        _acknowledge = (answer, _clock.Now);
        ConsiderAcknowledge();
    }

    /// <summary>An acknowledgement is pressed once the rig has told, within a second, that the cause is gone; it is never kept for later.</summary>
    private void ConsiderAcknowledge()
    {
        if (_acknowledge is not { } asked) return;
        if (_interlock.Trip is not { } trip)
        {
            Refuse(new("not-tripped", "", "acknowledge", "no interlock has fired", "Nothing needs to be done."));
        }
        else if (_interlock.CauseGone && _unshownTrip is null && _safesPending == 0)
        {
            _acknowledge = null;
            _releaseWaiter = asked.Answer;
            Apply(new InterlockEvent.AcknowledgeInput(true));
            Apply(new InterlockEvent.AcknowledgeInput(false));
        }
        else if (_interlock.RigCausePresent || !_interlock.LinkIsUp || _clock.Since(asked.AskedAt) >= AcknowledgeWithin)
        {
            Refuse(Refusals.CauseRemains(trip, _interlock.LinkIsUp));
        }

        void Refuse(Refusal refusal)
        {
            _acknowledge = null;
            asked.Answer.TrySetResult(Outcome<BenchState>.Refuse(refusal));
        }
    }
}
