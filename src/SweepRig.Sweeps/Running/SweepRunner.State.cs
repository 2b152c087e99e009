namespace SweepRig.Sweeps.Running;

/// <content>The picture of the bench, and the passing of time.</content>
public sealed partial class SweepRunner
{
    private static readonly TimeSpan PublishWhileRunning = TimeSpan.FromMilliseconds(200);
    private static readonly TimeSpan PublishWhileCounting = TimeSpan.FromSeconds(1);

    private bool _dirty;
    private long? _publishedAt;

    private void Publish()
    {
        _dirty = false;
        _publishedAt = _clock.Now;
        _state = Picture() with { Version = _state.Version + 1 };
        Feed.Publish(new LiveUpdate.State(_state));
    }

    private BenchState Picture() => new(
        _link,
        _rig.Name,
        _link == RigLinkState.Connected ? _identity : null,
        _linkFault,
        _counters,
        new(_status?.HeaterOn ?? false, HeaterOnFor(), WarmAfter),
        _status?.PlateRailOn ?? false,
        _status?.Supply ?? double.NaN,
        _status?.Drive ?? double.NaN,
        _socket,
        _shownTrip,
        _shownTrip is not null && _interlock.CauseGone && _safesPending == 0,
        _interlock.Permit,
        Progress())
    {
        Calibration = _link == RigLinkState.Connected ? _calibration : null,
        Hold = Holding(),
        Unattended = _interlock.IsUnattended,
    };

    private RunProgress? Progress()
    {
        if (_run is not { Hold: null } run) return null;
        var phase = run.Stage switch
        {
            RunStage.Finishing or RunStage.Closing => RunPhase.Finishing,
            RunStage.RailSettling or RunStage.Sweeping or RunStage.Choosing => RunPhase.Sweeping,
            _ => RunPhase.Warming,
        };
        var planned = run.Passes.Sum(p => (long)p.Header.Points);
        return new(run.Header.Id, phase, run.PassIndex, run.Passes.Count, Math.Min(run.Recorded, planned), planned, TimeLeft(run, planned))
        {
            Adaptive = run.Header.Plan.Adaptive is { } rule ? new(run.Choice?.SwitchingVolts, run.Choice?.UncertaintyVolts, rule.SwitchingUncertainty.Value) : null,
        };
    }

    /// <summary>What the remaining points need at least, after what is left of the warming.</summary>
    private TimeSpan TimeLeft(RunSession run, long planned)
    {
        if (run.IsEnding) return TimeSpan.Zero;
        var remaining = Math.Max(0, planned - run.Recorded);
        var sweeping = run.Planned.Floor * ((double)remaining / planned);
        return run.Stage < RunStage.Energising ? WarmUpLeft(run.Pass.Supplies.HeaterVolts) + sweeping : sweeping;
    }

    private void OnTick()
    {
        Interlocked.Exchange(ref _tickWaiting, 0);
        Apply(new Interlocks.InterlockEvent.Tick());
        TellClocks();
        ConsiderAcknowledge();
        if (_run is { } run) OnTickOfRun(run);
        var counting = _interlock.Permit is not null || _status is { HeaterOn: true };
        var since = _publishedAt is { } at ? _clock.Since(at) : TimeSpan.MaxValue;
        if ((_dirty || _run is not null) && since >= PublishWhileRunning || counting && since >= PublishWhileCounting) Publish();
    }
}
