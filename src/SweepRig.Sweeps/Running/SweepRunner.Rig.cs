using Microsoft.Extensions.Logging;
using SweepRig.Domain.Interlocks;
using SweepRig.Domain.Logging;
using SweepRig.Domain.Rigs;
using SweepRig.Domain.Runs;
using SweepRig.Rigs;
using SweepRig.Sweeps.Interlocks;
using SweepRig.Sweeps.Planning;

namespace SweepRig.Sweeps.Running;

/// <content>What comes from the rig.</content>
public sealed partial class SweepRunner
{
    private readonly RigClockMap _rigClock = new();
    private RigLinkState _link = RigLinkState.Connecting;
    private string? _linkFault;
    private LinkCounters _counters = new(0, 0, 0, 0, 0);
    private RigIdentity? _introduced;
    private RigIdentity? _identity;
    private RigCalibration? _calibration;
    private RigLimits? _limits;
    private bool _limitsSent;
    private RigStatus? _status;
    private long _statusAt;
    private long _latchTrustedFrom = long.MinValue;
    private SupplySetting? _supplies;
    private long? _heaterChangedAt;
    private int _socket;

    /// <summary>From the moment the rail is ordered on until the rig has confirmed that it is off.</summary>
    private bool _railMayBeOn;

    private void OnRig(RigEvent happened)
    {
        switch (happened)
        {
            case RigEvent.Block block:
                OnBlock(block);
                break;
            case RigEvent.Status status:
                OnStatus(status);
                break;
            case RigEvent.PassEnded ended:
                OnPassEnded(ended);
                break;
            case RigEvent.Tripped tripped:
                Apply(new InterlockEvent.RigTripped(tripped.Trip));
                break;
            case RigEvent.Connected connected:
                // Taken for connected once it has told its state, so that nothing is asked of a rig whose latch is not known.
                _introduced = connected.Identity;
                break;
            case RigEvent.Disconnected disconnected:
                OnDisconnected(disconnected);
                break;
            case RigEvent.Restarted restarted:
                _logger.LogWarning(LogEvents.RigRestarted, "The rig restarted by itself: {Reason}", restarted.Reason);
                ForgetRigState();
                Apply(new InterlockEvent.RigRestarted(restarted.Reason));
                break;
            case RigEvent.LinkHealth health:
                _counters = health.Counters;
                _dirty = true;
                break;
            default:
                throw new InvalidOperationException($"SweepRig bug: the runner does not know {happened.GetType().Name}.");
        }
    }

    private void OnConnected(RigIdentity identity)
    {
        _logger.LogInformation(LogEvents.RigConnected, "Connected: {Board} {SerialNumber}, {Firmware}", identity.Board, identity.SerialNumber, identity.Firmware);
        if (_identity?.SerialNumber != identity.SerialNumber) ForgetRigState();
        (_link, _linkFault, _identity) = (RigLinkState.Connected, null, identity);
        _calibration = CalibrationOf(identity);
        _limits = _options.Rules.Tighten(LimitSet.Tightest(identity.HardLimits, _options.SessionLimits), unattended: false);
        _limitsSent = false;
        _status = null;
        _rigClock.Reset();
        Apply(new InterlockEvent.LinkUp(HostLimitsOf(_limits, _calibration, unattended: false), HostLimitsOf(_limits, _calibration, unattended: true)));
    }

    /// <summary>What a plan is held to now: the session's limits, and while nobody is there the tighter ones.</summary>
    private RigLimits? LimitsNow => _interlock.IsUnattended && _limits is { } limits ? _options.Rules.Tighten(limits, unattended: true) : _limits;

    private HostLimits HostLimitsOf(RigLimits limits, RigCalibration calibration, bool unattended) => HostLimits.Of(limits, calibration, _options.Rules, unattended);

    private RigCalibration CalibrationOf(RigIdentity identity)
    {
        var calibration = _options.CalibrationOf(identity);
        if (calibration.RigSerialNumber == identity.SerialNumber && calibration.Channels.Count == identity.Channels.Count) return calibration;
        _logger.LogError(LogEvents.ForeignCalibration, "SweepRig bug: rig {Rig} was given the calibration of {Other}; it works on nominal values", identity.SerialNumber, calibration.RigSerialNumber);
        return RigCalibration.Nominal(identity);
    }

    /// <summary>
    /// Looks anew for the calibration of the rig, between runs. One under way keeps the one that it was begun with, for its volts and for its limits: the room
    /// of a better calibration is too small for volts that lean on the one before.
    /// </summary>
    private void TakeUpCalibration()
    {
        if (_run is not null) return;
        if (_link != RigLinkState.Connected || _identity is not { } identity || _limits is not { } limits) return;
        var calibration = CalibrationOf(identity);
        if (calibration.Id == _calibration?.Id && calibration.RigSerialNumber == _calibration.RigSerialNumber) return;
        _calibration = calibration;
        if (!calibration.IsNominal) _logger.LogInformation(LogEvents.RigCalibration, "Rig {Rig} works on calibration {Calibration}", identity.SerialNumber, calibration.Id);
        Apply(new InterlockEvent.LimitsChanged(HostLimitsOf(limits, calibration, unattended: false), HostLimitsOf(limits, calibration, unattended: true)));
    }

    private void OnDisconnected(RigEvent.Disconnected disconnected)
    {
        _logger.LogWarning(LogEvents.LinkDown, "Link down: {Reason}", disconnected.Reason);
        _link = _link == RigLinkState.Connecting && disconnected.Retrying ? RigLinkState.Connecting : RigLinkState.Lost;
        _linkFault = disconnected.Reason;
        _introduced = null;
        _status = null;
        if (_supplies is not null) _supplies = _supplies with { PlateRail = false };
        Apply(new InterlockEvent.LinkLost(disconnected.Reason));
        ConsiderAcknowledge();
    }

    private void ForgetRigState()
    {
        (_status, _supplies, _heaterChangedAt, _limitsSent) = (null, null, null, false);
        _rigClock.Reset();
    }

    private void OnStatus(RigEvent.Status happened)
    {
        if (_introduced is { } identity)
        {
            _introduced = null;
            OnConnected(identity);
        }
        var before = _status;
        (_status, _statusAt) = (happened.Value, happened.ReceivedAt);
        _rigClock.Observe(happened.Value.At.Microseconds, _clock.Microseconds(happened.ReceivedAt));
        if (happened.ReceivedAt > _latchTrustedFrom)
        {
            TripCause? latchedBy = happened.Value.Latched ? happened.Value.Cause ?? TripCause.HostOrder : null;
            var railOn = happened.Value.PlateRailOn && _identity?.Supplies.HasFlag(Supplies.PlateRail) == true;
            Apply(new InterlockEvent.RigStatus(latchedBy, happened.Value.CausesPresent, happened.Value.Running, railOn)
            {
                HeaterSeconds = HeaterOnFor().TotalSeconds,
                RigSeconds = happened.Value.At.Microseconds * 1e-6,
                HostSeconds = HostSeconds(happened.ReceivedAt),
            });
        }
        ConsiderAcknowledge();
        if (_run is { } run) OnStatusOfRun(run, happened);
        _dirty |= before is null || before.HeaterOn != _status.HeaterOn || before.PlateRailOn != _status.PlateRailOn || before.Latched != _status.Latched
            || Math.Abs(before.Supply - _status.Supply) > 0.05 || Math.Abs(before.Drive - _status.Drive) > 0.05;
    }

    /// <summary>The interlocks see a block before anything else does.</summary>
    private void OnBlock(RigEvent.Block happened)
    {
        var block = happened.Samples;
        if (block.Count == 0 || _calibrator is null) return;
        _rigClock.Observe(block.SampledAtTicks[^1], _clock.Microseconds(happened.ReceivedAt));
        var volts = _calibrator.Convert(block);
        var summary = BlockSummary.Of(block, volts, _calibrator);
        Apply(new InterlockEvent.Block(summary, HostSeconds(happened.ReceivedAt)));

        if (_run is not { EndQueued: false } run || block.Pass != run.PassIndex) return;
        if (run.Rounds > 0) block = block with { Flags = Array.ConvertAll(block.Flags, f => f | SampleFlags.Repeated) };
        run.Tracker.Note(block);
        if (run.Header.Plan.Adaptive is not null) run.Measured.Add(block);
        run.IdleStatuses = 0;
        var measured = new MeasuredBlock(block, volts, _clock.UtcOfMicroseconds(_rigClock.ToHostMicroseconds(block.SampledAtTicks[^1])));
        if (_safesPending > 0 || run.Trip is not null || run.Recording is null) run.Held.Add(measured);
        else run.Recording.Append(measured);
        if (run.Recording?.Waiting > _options.MaxBlocksWaiting)
            Apply(new InterlockEvent.RecordingFailed($"{run.Recording.Waiting} blocks wait for the disk, which cannot keep up"));
    }

    /// <summary>Time the heater has been on at its present voltage: what the rig says, or less if the voltage was changed since.</summary>
    private TimeSpan HeaterOnFor()
    {
        if (_status is not { HeaterOn: true }) return TimeSpan.Zero;
        var byRig = _status.HeaterOnFor + _clock.Since(_statusAt);
        if (_heaterChangedAt is not { } changed) return byRig;
        var sinceChange = _clock.Since(changed);
        return sinceChange < byRig ? sinceChange : byRig;
    }

    private bool IsWarm => _status is { HeaterOn: true } && HeaterOnFor() >= WarmAfter;

    /// <summary>What the options say, or what this bench has set for itself where that is longer.</summary>
    private TimeSpan WarmAfter
    {
        get
        {
            var set = _options.Rules.IsSet(TubeRules.WarmUp) ? TimeSpan.FromSeconds(_options.Rules.Of(TubeRules.WarmUp, _interlock.IsUnattended)) : TimeSpan.Zero;
            return set > _options.WarmAfter ? set : _options.WarmAfter;
        }
    }

    /// <summary>Time until the first sample could be taken at this heater voltage.</summary>
    private TimeSpan WarmUpLeft(double heaterVolts)
    {
        if (_supplies is not { Heater: true } || _supplies.HeaterVolts != heaterVolts) return WarmAfter;
        var left = WarmAfter - HeaterOnFor();
        return left > TimeSpan.Zero ? left : TimeSpan.Zero;
    }

    private void SwitchSupplies(SupplySetting wanted, Action<RigReply> then)
    {
        _railMayBeOn |= wanted.PlateRail;
        Call(c => _rig.SetSuppliesAsync(wanted, c), reply =>
        {
            if (reply.Accepted)
            {
                if (!wanted.PlateRail) _railMayBeOn = false;
                if (wanted.Heater && (_supplies is not { Heater: true } || _supplies.HeaterVolts != wanted.HeaterVolts)) _heaterChangedAt = _clock.Now;
                _supplies = wanted;
                _socket = wanted.Socket;
                _dirty = true;
            }
            then(reply);
        });
    }
}
