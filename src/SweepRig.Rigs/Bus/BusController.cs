using SweepRig.Domain;
using SweepRig.Domain.Interlocks;
using SweepRig.Domain.Rigs;
using SweepRig.Domain.Tubes;
using SweepRig.Rigs.Bus.Configuration;
using SweepRig.Rigs.Control;
using SweepRig.Rigs.Link.Host;

namespace SweepRig.Rigs.Bus;

/// <summary>What the controller tells of its own accord.</summary>
internal interface IBusReports
{
    void Sampled(in Sample sample);

    /// <summary>The running program has ended; samples not yet told go first.</summary>
    void Ended(int pass, bool completed);

    void Tripped(Trip trip);
}

/// <summary>
/// What keeps a direct bus rig safe while its process lives, from one opening of the buses to the next. One thread, no waits but those of the bus itself.
/// Every call may throw <see cref="BusFaultException"/>, after which this one is done with. Times are microseconds of the rig's clock.
/// </summary>
internal sealed class BusController : IPassHost
{
    /// <summary>While nothing runs, one channel is converted this often, so that each has its turn in a tenth of a second.</summary>
    public const long IdleWatchMicroseconds = 20_000;

    private readonly BusConfig _config;
    private readonly BusHardware _hardware;
    private readonly IBusReports _reports;
    private readonly Func<long> _clock;
    private readonly Func<DateTimeOffset> _utc;
    private readonly RawReadings _readings;
    private readonly LimitWatch _watch;
    private readonly Averager _averager;
    private readonly PositiveTime _positive = new();
    private readonly LimitsInForce _limits;
    private readonly BusWatch _supplies;

    private ProgramRun? _run;
    private long _driveWrittenAt, _heaterOnSince, _idleAt, _suppliesAt;
    private int _idleChannel;

    /// <param name="clock">The rig's clock.</param>
    /// <param name="utc">For people.</param>
    public BusController(BusConfig config, BusHardware hardware, IBusReports reports, Func<long> clock, Func<DateTimeOffset> utc)
    {
        (_config, _hardware, _reports, _clock, _utc) = (config, hardware, reports, clock, utc);
        var channels = config.Channels.Select(c => c.Scale).ToArray();
        var hard = config.HardLimits;
        _readings = new(channels);
        _limits = new(hard);
        _watch = new(config.Drive.Scale, _readings) { Limits = hard, Wiring = WiringOf(config, ConnectionKind.Pentode) };
        _averager = new(channels);
        _supplies = new(config, hardware);
        _idleAt = _suppliesAt = _driveWrittenAt = clock();
        _positive.Set(_idleAt, false);
    }

    public Latch Latch { get; } = new();
    public bool IsRunning => _run is not null;
    public BusHardware Hardware => _hardware;
    public RigLimits Limits => _limits.Value;
    public DriveScale Drive => _config.Drive.Scale;
    public int CeilingCode => Drive.ToCodeAtOrBelow(_limits.Value.DriveCeiling);
    public int FloorCode => Drive.ToCode(_limits.Value.DriveFloor);
    public double SupplyVolts => _readings[RigChannel.Supply];
    public long NextDue => Math.Min(_run?.DueAt ?? _idleAt, _suppliesAt);

    private long PositiveBudget => (long)(_limits.Value.PositiveSecondsPerMinute * 1e6);

    /// <summary>Something that would fire the latch now; null if there is nothing.</summary>
    public TripCause? PresentCause => _watch.Broken ?? _supplies.Present ?? (_positive.Used(_clock()) > PositiveBudget ? TripCause.PositiveTime : null);

    /// <summary>Does one thing that is due.</summary>
    public void Act()
    {
        var now = _clock();
        if (_suppliesAt <= now)
        {
            _suppliesAt = now + BusWatch.PeriodMicroseconds;
            if (_supplies.Look(HeaterOnFor(now)) is { } breach) Trip(breach);
        }
        else if (_run is not null)
        {
            _run.Act(now);
        }
        else
        {
            _ = Convert(ref now, RigChannels.All[_idleChannel]);
            _idleChannel = (_idleChannel + 1) % RigChannels.Count;
            _idleAt = now + IdleWatchMicroseconds;
        }
    }

    public long HeaterOnFor(long now) => _hardware.HeaterOn ? now - _heaterOnSince : 0;

    /// <returns>Index of the first field that is wider than what is in force; null when taken.</returns>
    public int? Tighten(RigLimits asked)
    {
        var wider = _limits.TryTighten(asked);
        _watch.Limits = _limits.Value;
        return wider;
    }

    public bool LimitsIntact => _limits.IsIntact;

    public void SetHeater(bool on)
    {
        if (on == _hardware.HeaterOn) return;
        _hardware.SetHeater(on);
        _heaterOnSince = _clock();
    }

    /// <summary>Starts a program that the caller has checked, on relays that rest.</summary>
    public void Start(RigProgram program)
    {
        _watch.Wiring = program.Wiring;
        _run = new(program, this, _averager, _config.ConversionMicroseconds, _clock());
    }

    /// <summary>Ends a running program: drive to safe, supplies as they are.</summary>
    public void Stop()
    {
        if (_run is null) return;
        BringDriveToSafe();
        End(false);
    }

    public void Order() => Trip(new(new(TripCause.HostOrder, 0, 0), "", ""));

    public ReleaseResult Release() => Latch.Release(Latch.Firing, PresentCause is not null);

    void IPassHost.Step(ref long now, int code)
    {
        if (_run is not { } run) return;
        var ceiling = Math.Min(run.CeilingCode, CeilingCode);
        if (code > ceiling)
        {
            Trip(Words(new(TripCause.DriveCeiling, Drive.ToVolts(code), Drive.ToVolts(ceiling))));
            return;
        }
        _positive.Set(now, Drive.ToVolts(code) > 0);
        _hardware.WriteDrive(code);
        now = _driveWrittenAt = _clock();
    }

    int IPassHost.Convert(ref long now, RigChannel channel) => Convert(ref now, channel);

    void IPassHost.Deliver(in Sample sample)
    {
        if (_run is not null) _reports.Sampled(sample);
    }

    void IPassHost.Complete(long now)
    {
        if (_run is null) return;
        BringDriveToSafe();
        End(true);
    }

    private int Convert(ref long now, RigChannel channel)
    {
        var begunAt = _clock();
        var code = _hardware.Convert(channel);
        now = _clock();
        // The converter integrates from its start on, so what counts is how long the drive had rested then.
        var breach = _watch.Check(channel, code, _hardware.DriveCode, begunAt - _driveWrittenAt, _run is not null);
        if (breach is null && _positive.IsPositive && _positive.Used(now) > PositiveBudget)
            breach = new(TripCause.PositiveTime, _positive.Used(now) / 1e6, PositiveBudget / 1e6);
        if (breach is { } found) Trip(Words(found));
        return code;
    }

    private void Trip(in BusBreach breach)
    {
        var now = _clock();
        var first = Latch.Fire(now, breach.Breach);
        _hardware.MakeSafe();
        _positive.Set(_clock(), false);
        if (_run is not null) End(false);
        if (first) _reports.Tripped(new(breach.Breach.Cause, ByRig: breach.Breach.Cause != TripCause.HostOrder, breach.Measured, breach.Limit, _utc(), new(now)));
    }

    private void BringDriveToSafe()
    {
        if (!_hardware.AtSafe) _hardware.WriteDrive(_hardware.SafeCode);
        _driveWrittenAt = _clock();
        _positive.Set(_driveWrittenAt, false);
    }

    private void End(bool completed)
    {
        var pass = _run!.Pass;
        _run = null;
        _idleAt = _clock();
        _reports.Ended(pass, completed);
    }

    private static BusBreach Words(in Breach breach) => new(
        breach,
        LinkFigures.Measured(breach.Cause, TripFigures.OnLink(breach.Cause, breach.Measured)),
        LinkFigures.Limit(breach.Cause, TripFigures.OnLink(breach.Cause, breach.Limit)));

    private static RigWiring WiringOf(BusConfig config, ConnectionKind kind) => new(
        kind, (int)Math.Round(config.Resistors.PlateOhms), (int)Math.Round(config.Resistors.ScreenOhms), (int)Math.Round(config.Resistors.StopperOhms));
}
