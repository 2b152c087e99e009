using SweepRig.Domain;
using SweepRig.Domain.Interlocks;
using SweepRig.Domain.Quantities;
using SweepRig.Domain.Rigs;
using SweepRig.Domain.Runs;
using SweepRig.Rigs.Bus;
using SweepRig.Rigs.Calibration;
using SweepRig.Rigs.Control;
using SweepRig.Rigs.Simulated;
using SweepRig.Rigs.Simulated.Physics;
using SweepRig.Sweeps.Planning;
using SweepRig.Sweeps.Screening;
using SweepRig.Sweeps.Studies;
using SweepRig.Tubes.Lots;

namespace SweepRig.Sweeps.Tests.Studies;

/// <summary>
/// Does the acts of a study on the simulated bench (tube, fixture, converters) in its own time, without clock, link or runner: hours pass in moments, and the same seed gives the same codes.
/// </summary>
internal sealed class PlayedBench : IPassHost
{
    /// <summary>As the runner gives a cathode.</summary>
    private static readonly TimeSpan WarmAfter = TimeSpan.FromSeconds(40);

    private readonly SimulatedRigOptions _options;
    private readonly Bench _bench;
    private readonly Averager _averager;
    private long _now;
    private long? _heaterOnSince;
    private double _heater;
    private BlockGatherer? _gathered;
    private List<SampleBlock> _blocks = [];
    private bool _running;
    private long _steppedAt = long.MinValue / 2;

    public PlayedBench(Specimen tube, int seed = 1, SimulatedRigOptions? options = null)
    {
        _options = (options ?? new()) with { Seed = seed, Tubes = [tube.Parameters], Behaviours = [tube.Behaviour] };
        _bench = new(_options);
        _averager = new(_options.Channels);
        Rig = Support.Samples.Rig with { Drive = _options.Drive, Channels = _options.Channels, HardLimits = _options.HardLimits, ConversionMicroseconds = _options.ConversionMicroseconds };
    }

    public RigIdentity Rig { get; }

    public TimeSpan Now => TimeSpan.FromMicroseconds(_now);

    /// <summary>Highest drive that was ever put out.</summary>
    public double HighestDrive { get; private set; } = double.NegativeInfinity;

    /// <summary>A trip instead of the n-th run, from 1.</summary>
    public (int Run, TripCause Cause)? Trips { get; init; }

    /// <summary>Told of each pass with its blocks, as interlocks would see them.</summary>
    public Action<PassProgram, IReadOnlyList<SampleBlock>>? PassPlayed { get; init; }

    public List<StudyRun> Runs { get; } = [];

    public List<StudyResult> Results { get; } = [];

    /// <summary>Plays a study to its end.</summary>
    public T Play<T>(T study)
        where T : Study
    {
        IStudy at = study;
        for (var acts = 0; at.Next is not StudyAct.Finish; acts++)
        {
            Assert.InRange(acts, 0, 100_000);
            Results.Add(Do(at.Setup, at.Next));
            at = at.With(Results[^1]);
        }
        return (T)at;
    }

    public StudyResult Do(StudySetup setup, StudyAct act)
    {
        var begun = Now;
        switch (act)
        {
            case StudyAct.Heat heat:
                Heat(heat.Heater.Value);
                return new StudyResult.Done(Now);
            case StudyAct.Cool:
                Heat(0);
                return new StudyResult.Done(Now);
            case StudyAct.WaitUntil wait:
                _now = Math.Max(_now, (long)wait.SinceBegin.TotalMicroseconds);
                return new StudyResult.Done(Now);
            case StudyAct.Sweep sweep:
                Heat(sweep.Plan.Connection.Heater.Value);
                _now = Math.Max(_now, _heaterOnSince!.Value + (long)(WarmAfter.TotalMicroseconds / setup.HeaterSpeed));
                Assert.Equal(Math.Max(0, sweep.Plan.Stop.Value), sweep.Ceiling.Value);
                var planned = SweepPlanner.Plan(new(sweep.Plan, setup.Tube, setup.Socket), Facts(sweep.Ceiling));
                Assert.Empty(planned.Refusals);
                return Ran(setup, sweep.Plan, planned.Value!, begun);
            case StudyAct.Watch watch:
                var request = new ScreeningRequest("", watch.Step, setup.Tube, setup.Fixture, setup.Socket);
                var step = ScreeningPlanner.Plan(request, Facts(default));
                Assert.Empty(step.Refusals);
                Heat(watch.Step.HeaterVolts ?? 0);
                return Ran(setup, ScreeningPlanner.PlanOf(request), step.Value!, begun);
            default:
                throw new InvalidOperationException($"A study asked for {act}.");
        }
    }

    void IPassHost.Step(ref long now, int code)
    {
        HighestDrive = Math.Max(HighestDrive, _options.Drive.ToVolts(code));
        _steppedAt = now;
        _bench.WriteDrive(now, code);
    }

    int IPassHost.Convert(ref long now, RigChannel channel) => _bench.Convert(now, channel);

    void IPassHost.Deliver(in Sample sample)
    {
        _gathered!.Add(sample);
        if (_gathered.IsDue(sample.AtMicroseconds) && _gathered.Take() is { } block) _blocks.Add(block);
    }

    void IPassHost.Complete(long now) => (_running, _now) = (false, now);

    private BenchFacts Facts(Volts ceiling) => new(
        Rig, RigCalibration.Nominal(Rig), Rig.HardLimits,
        ceiling.Value > 0 ? new Permit(Guid.NewGuid(), ceiling, TimeSpan.FromHours(1), "test", DateTimeOffset.UnixEpoch) : null,
        DateTimeOffset.UnixEpoch, TimeSpan.Zero, TimeSpan.Zero, null);

    private void Heat(double volts)
    {
        if (volts == _heater) return;
        if (_heater == 0) _heaterOnSince = _now;
        _heater = volts;
        _bench.SwitchHeater(_now, volts > 0, volts);
    }

    private StudyResult.Ran Ran(StudySetup setup, Domain.Plans.SweepPlan plan, SweepProgram program, TimeSpan begun)
    {
        var header = new RunHeader(
            $"run-{Runs.Count}", DateTimeOffset.UnixEpoch + begun, setup.Tube, setup.Socket, plan, program.Run.Passes, RigCalibration.Nominal(Rig), Rig, "test", null);
        IReadOnlyList<Trip> trips = Trips is { } wanted && wanted.Run == Runs.Count + 1 ? [new(wanted.Cause, true, "9 mA", "8 mA", header.StartedUtc, null)] : [];
        _blocks = [];
        foreach (var pass in program.Passes)
        {
            _bench.Wire(_now, pass.Program.Wiring);
            _bench.SwitchRail(_now, true, pass.Supplies.PlateRailVolts);
            // The runner waits for two statuses, 100 ms apart, before the rail counts as standing.
            _now += 180_000;
            var before = _blocks.Count;
            _gathered = new(pass.Header.Index, pass.Program.ChannelMask);
            var run = new ProgramRun(pass.Program, this, _averager, _options.ConversionMicroseconds, _now);
            // What a rig converts while it dwells is for its limits alone: passed over, so that hours cost moments.
            for (_running = true; _running;) run.Act(Math.Max(run.DueAt, _steppedAt + pass.Program.Timing.DwellMicroseconds));
            if (_gathered.Take() is { } rest) _blocks.Add(rest);
            PassPlayed?.Invoke(pass, _blocks[before..]);
            _bench.WriteDrive(_now, _options.Drive.ToCode(_options.HardLimits.DriveFloor));
        }
        _bench.SwitchRail(_now, false, 0);
        _now += 100_000;
        var ended = new StudyRun(header, trips.Count > 0 ? RunState.Tripped : RunState.Complete, CurveBuilder.Build(header, _blocks), trips);
        Runs.Add(ended);
        return new(ended, begun, Now);
    }
}
