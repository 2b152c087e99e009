using SweepRig.Domain;
using SweepRig.Domain.Interlocks;
using SweepRig.Domain.Rigs;
using SweepRig.Rigs.Control;
using SweepRig.Rigs.Simulated.Physics;

namespace SweepRig.Rigs.Simulated.Firmware;

/// <summary>
/// The microcontroller from one reset to the next: a deterministic machine without I/O, driven by its clock and by orders. Everything that keeps the
/// rig safe is here and asks nobody. Times are bench time in microseconds; the rig clock is bench time since the reset.
/// </summary>
internal sealed class Controller : IPassHost
{
    /// <summary>While nothing runs, all channels are converted this often and checked against the limits.</summary>
    public const long IdleWatchMicroseconds = 1_000;

    /// <summary>Highest heater voltage that the adjustable supply gives.</summary>
    public const double MaxHeaterVolts = 15;

    private readonly SimulatedRigOptions _options;
    private readonly Bench _bench;
    private readonly RawReadings _readings;
    private readonly LimitWatch _watch;
    private readonly Averager _averager;
    private readonly Lease _lease;
    private readonly PositiveTime _positive = new();
    private readonly LimitsInForce _limits;

    private ProgramRun? _run;
    private long _idleWatchAt;
    private long _heaterTimeoutAt = long.MaxValue;
    private long _ahead;
    private bool _limitsDamaged;

    public Controller(SimulatedRigOptions options, Bench bench, RigJournal journal, ResetReason reset, long now)
    {
        _options = options;
        _bench = bench;
        BootedAt = now;
        Latch = new(reset);
        // First of all the drive: the safe code is on the DAC before anything else of the firmware runs.
        Outputs = new(bench, journal, options.Drive, options.Drive.ToCode(options.HardLimits.DriveFloor), now);
        _readings = new(options.Channels);
        _limits = new(options.HardLimits);
        _watch = new(options.Drive, _readings) { Limits = options.HardLimits, Wiring = Bench.DefaultWiring };
        _averager = new(options.Channels);
        _lease = new(options.LeaseMilliseconds * 1000L);
        _positive.Set(now, false);
        _idleWatchAt = now + IdleWatchMicroseconds;
    }

    public IReports Reports { get; set; } = null!;
    public Outputs Outputs { get; }
    public Latch Latch { get; }
    public long BootedAt { get; }
    public bool IsRunning => _run is not null;
    public RigLimits Limits => _limits.Value;
    public DriveScale Drive => _options.Drive;

    /// <summary>How far this clock has run ahead of the host's, for an unpaced rig.</summary>
    public long Ahead => _ahead;

    /// <summary>Latest conversion of the plate rail, as a stored code.</summary>
    public ushort SupplyCode => _readings.StoredCode(RigChannel.Supply);

    /// <summary>Codes that a program may use at most: the drive ceiling in force, rounded down.</summary>
    public int CeilingCode => _options.Drive.ToCodeAtOrBelow(_limits.Value.DriveCeiling);

    /// <summary>Codes that a program may use at least: the drive floor in force.</summary>
    public int FloorCode => _options.Drive.ToCode(_limits.Value.DriveFloor);

    public long NextDue => Math.Min(
        Math.Min(_run?.DueAt ?? _idleWatchAt, LeaseEnd),
        Outputs.HeaterOn ? Later(_heaterTimeoutAt) : long.MaxValue);

    private long LeaseEnd => Later(_lease.EndsAt);

    /// <summary>A fault that is present, for those that touch the link.</summary>
    public T? Fault<T>(long now)
        where T : SimulatedFault => _bench.Fault<T>(now);

    /// <summary>Something that would fire the latch now; null if there is nothing.</summary>
    public TripCause? PresentCause(long now) =>
        _watch.Broken
        ?? (_bench.EmergencyStopPressed(now) ? TripCause.EmergencyStop
            : _positive.Used(now) > PositiveBudget ? TripCause.PositiveTime
            : Latch.Cause == TripCause.LeaseExpired && !IsHeld(now) ? TripCause.LeaseExpired
            : null);

    private long PositiveBudget => (long)(_limits.Value.PositiveSecondsPerMinute * 1e6);

    /// <summary>Does one thing that is due at <paramref name="now"/>.</summary>
    public void Act(long now)
    {
        if (LeaseEnd <= now) ExpireLease(now);
        else if (Outputs.HeaterOn && Later(_heaterTimeoutAt) <= now) Outputs.SetHeater(now, false, 0);
        else if (_run is not null) _run.Act(_run.DueAt);
        else IdleWatch(now);
    }

    /// <summary>Lets the clock run ahead of the host's by so much more; lease and heater time-out stay with the host's.</summary>
    public void RunAhead(long microseconds) => _ahead += microseconds;

    /// <summary>Any good message of the host.</summary>
    public void Heard(long now)
    {
        _heaterTimeoutAt = now - _ahead + _options.HeaterTimeoutMilliseconds * 1000L;
        if (_limitsDamaged || Fault<SimulatedFault.LimitsDamaged>(now) is not { } damaged) return;
        _limitsDamaged = true;
        _limits.FlipCeilingBit(damaged.Bit);
        _watch.Limits = _limits.Value;
    }

    /// <summary>True while the host's hold on the outputs lasts.</summary>
    public bool IsHeld(long now) => _lease.IsHeld(now - _ahead);

    public void RenewLease(long now) => _lease.Renew(now - _ahead);

    /// <summary>False if the limits in memory no longer match their seal: no program may start.</summary>
    public bool LimitsIntact => _limits.IsIntact;

    /// <returns>Index of the first field that is wider than what is in force; null when taken.</returns>
    public int? Tighten(RigLimits asked)
    {
        var wider = _limits.TryTighten(asked);
        _watch.Limits = _limits.Value;
        return wider;
    }

    /// <summary>Switches supplies. The caller has checked ranges, latch and that nothing runs.</summary>
    public void Switch(long now, SupplySetting setting)
    {
        Outputs.Select(now, setting.Socket);
        var heater = setting.Heater ? setting.HeaterVolts : 0;
        if (setting.Heater != Outputs.HeaterOn || heater != Outputs.HeaterVolts) Outputs.SetHeater(now, setting.Heater, heater);
        var rail = setting.PlateRail ? setting.PlateRailVolts : 0;
        if (setting.PlateRail != Outputs.PlateRailOn || rail != Outputs.PlateRailVolts) Outputs.SetPlateRail(now, setting.PlateRail, rail);
    }

    /// <summary>Starts a program that the caller has checked.</summary>
    public void Start(long now, RigProgram program)
    {
        _bench.Wire(now, program.Wiring);
        _watch.Wiring = program.Wiring;
        _run = new(program, this, _averager, _options.ConversionMicroseconds, now);
        Outputs.Note(now, JournalKind.ProgramStarted, program.Pass, program.Points);
    }

    /// <summary>Ends a running program: drive to safe, supplies as they are.</summary>
    public void Stop(long now)
    {
        if (_run is null) return;
        BringDriveToSafe(now);
        End(now, false);
    }

    /// <summary>A new session: nothing that an earlier one left on may live on its renewals.</summary>
    public void Leave(long now)
    {
        Stop(now);
        if (Outputs.PlateRailOn) Outputs.MakeSafe(now);
    }

    /// <summary>The host's order to be safe, or a fault of the session.</summary>
    public void Order(long now, TripCause cause) => Trip(now, new(cause, 0, 0));

    public ReleaseResult Release(long now, int firing)
    {
        var was = Latch.IsFired;
        var result = Latch.Release(firing, PresentCause(now) is not null);
        if (was && !Latch.IsFired) Outputs.Note(now, JournalKind.Released, firing, 0);
        return result;
    }

    void IPassHost.Step(ref long now, int code)
    {
        if (_run is not { } run) return;
        var ceiling = Math.Min(run.CeilingCode, CeilingCode);
        if (code > ceiling)
        {
            Trip(now, new(TripCause.DriveCeiling, Drive.ToVolts(code), Drive.ToVolts(ceiling)));
            return;
        }
        _positive.Set(now, Drive.ToVolts(code) > 0);
        Outputs.WriteDrive(now, code);
    }

    int IPassHost.Convert(ref long now, RigChannel channel) => Convert(now, channel);

    void IPassHost.Deliver(in Sample sample)
    {
        if (_run is not { } run) return;
        if (_options.KeepSamples)
        {
            Outputs.Note(new JournalSample(
                run.Pass, sample.Point, sample.AtMicroseconds - BootedAt, sample.DriveCode, sample.Flags, sample.Averaged, sample.Spread,
                sample.Plate, sample.Grid, sample.Screen, sample.Supply, sample.Drive));
        }
        _bench.KeepTrueVolts(sample.AtMicroseconds);
        Reports.Sampled(sample);
    }

    void IPassHost.Complete(long now)
    {
        if (_run is null) return;
        BringDriveToSafe(now);
        End(now, true);
    }

    private int Convert(long now, RigChannel channel)
    {
        var code = _bench.Convert(now, channel);
        var breach = _watch.Check(channel, code, Outputs.DriveCode, now - Outputs.DriveWrittenAt, _run is not null);
        if (breach is null && _positive.IsPositive && _positive.Used(now) > PositiveBudget)
            breach = new(TripCause.PositiveTime, _positive.Used(now) / 1e6, PositiveBudget / 1e6);
        if (breach is null && _bench.EmergencyStopPressed(now)) breach = new(TripCause.EmergencyStop, 0, 0);
        if (breach is { } found) Trip(now, found);
        return code;
    }

    private void IdleWatch(long now)
    {
        foreach (var channel in RigChannels.All) _ = Convert(now, channel);
        _idleWatchAt = now + IdleWatchMicroseconds;
    }

    private void ExpireLease(long now)
    {
        _lease.Drop();
        if (!Outputs.AtSafe || _run is not null) Trip(now, new(TripCause.LeaseExpired, 0, 0));
        else if (Outputs.PlateRailOn) Outputs.MakeSafe(now);
    }

    private void Trip(long now, in Breach breach)
    {
        var first = Latch.Fire(now - BootedAt, breach);
        if (first || !Outputs.AtSafe || Outputs.PlateRailOn) Outputs.MakeSafe(now);
        _positive.Set(now, false);
        if (first) Outputs.Note(now, JournalKind.Tripped, Latch.Firing, breach.Measured, breach.Cause);
        if (_run is not null) End(now, false);
        if (first) Reports.Tripped(now);
    }

    private void BringDriveToSafe(long now)
    {
        _positive.Set(now, false);
        if (!Outputs.AtSafe) Outputs.WriteDrive(now, Outputs.SafeCode);
    }

    private void End(long now, bool completed)
    {
        _run = null;
        _idleWatchAt = now + IdleWatchMicroseconds;
        Outputs.Note(now, JournalKind.ProgramEnded, completed ? 1 : 0, 0);
        Reports.Ended(now, completed);
    }

    private long Later(long hostTime) => hostTime > long.MaxValue - _ahead ? long.MaxValue : hostTime + _ahead;
}
