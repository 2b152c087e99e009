using Microsoft.Extensions.Logging.Abstractions;
using SweepRig.Domain.Plans;
using SweepRig.Domain.Runs;
using SweepRig.Rigs.Link;
using SweepRig.Rigs.Simulated;
using SweepRig.Sweeps.Running;
using SweepRig.Tubes.Catalogue;
using SweepRig.Wire.Line;

namespace SweepRig.Wire.Campaign;

/// <summary>One short sweep over a bad line on a bench of its own: runner, link host, line, simulated rig, all on one virtual clock.</summary>
public sealed class FaultySweep : IAsyncDisposable
{
    /// <summary>Longer than any wait between attempts to connect.</summary>
    private static readonly TimeSpan ConnectWithin = TimeSpan.FromSeconds(12);
    private static readonly TimeSpan MendWithin = TimeSpan.FromSeconds(45);
    private static readonly TimeSpan EndWithin = TimeSpan.FromSeconds(30);

    /// <summary>A microsecond that both clocks may round away.</summary>
    private const long Rounding = 2;

    private readonly FaultKind _kind;
    private readonly int _seed;
    private readonly Random _random;
    private readonly LeaseWitness _witness;
    private readonly LineDamage _toRig, _toHost;
    private readonly SimulatedRig _rig;
    private readonly FaultyPort _port;
    private readonly LinkRig _link;
    private readonly SweepRecorder _recorder = new();
    private readonly SweepRunner _runner;
    private readonly List<string> _violations = [];
    private readonly Action<string>? _tell;
    private long _driveMustEndBy;

    /// <param name="kind">What is wrong with the line.</param>
    /// <param name="seed">Draws rates, plan and faults.</param>
    /// <param name="tell">For a replay: told what happens, line by line; null for nobody.</param>
    public FaultySweep(FaultKind kind, int seed, Action<string>? tell = null)
    {
        _tell = tell;
        (_kind, _seed) = (kind, seed);
        _random = new((int)kind * 1_000_003 + seed);
        _witness = new(Clock, tell);
        var (toRig, toHost) = FaultRates.Draw(kind, _random);
        (_toRig, _toHost) = (new(toRig, _random.Next()), new(toHost, _random.Next()));
        _rig = new(new() { Seed = seed, Tubes = [ExampleTubes.Sound6AU6], HeaterSpeed = 1000, KeepSamples = true }, Clock);
        _port = new(new SimulatedRigPort(_rig), _toRig, _toHost, Clock, _witness.Hear);
        _link = new(_port, Clock, NullLogger<LinkRig>.Instance);
        _runner = new(_link, _recorder, new() { WarmAfter = TimeSpan.FromMilliseconds(60) }, Clock, NullLogger<SweepRunner>.Instance);
    }

    public VirtualClock Clock { get; } = new();

    private async Task<SweepVerdict> RunAsync()
    {
        _runner.Start();
        var (end, how, run) = await SweepAsync(Plan(_random), unplugs: _kind == FaultKind.Unplug || (_kind == FaultKind.Everything && _random.Next(4) == 0)).ConfigureAwait(false);
        var wrong = run is null ? [] : RecordCheck.Wrong(run, _rig.Journal.Samples());
        _violations.AddRange(wrong.Take(3));
        if (_seed % 4 == 0) await MendAsync().ConfigureAwait(false);
        var unsafeEnd = CheckSafety();
        foreach (var entry in _tell is null ? [] : _rig.Journal.Snapshot()) _tell!($"{entry.AtMicroseconds,10} us rig: {entry.Kind} {entry.Code} {entry.Value:0.###} {entry.Cause}");
        return new(
            _kind, _seed, end, how, _toRig.Damaged + _toHost.Damaged, run?.Blocks.Sum(b => b.Flags.Count(f => f.HasFlag(SampleFlags.Repeated))) ?? 0,
            run?.Blocks.Sum(b => b.Count) ?? 0, wrong.Count, unsafeEnd ? 1 : 0, _violations);
    }

    public async ValueTask DisposeAsync()
    {
        await _runner.DisposeAsync().ConfigureAwait(false);
        await _link.DisposeAsync().ConfigureAwait(false);
        await _port.DisposeAsync().ConfigureAwait(false);
        await _rig.DisposeAsync().ConfigureAwait(false);
    }

    /// <summary>Runs it to its end and takes the bench apart.</summary>
    public static async Task<SweepVerdict> RunAsync(FaultySweep sweep)
    {
        await using (sweep.ConfigureAwait(false)) return await sweep.RunAsync().ConfigureAwait(false);
    }

    private static SweepPlan Plan(Random random)
    {
        var example = random.Next(2) == 0 ? PlanExamples.GentlePentode : random.Next(2) == 0 ? PlanExamples.FarPositivePentode : PlanExamples.FarPositiveTriode;
        return example.Plan with
        {
            Points = 12 + random.Next(50), DwellMicroseconds = 80 + random.Next(400), Averaging = new Averaging.Count(1 + random.Next(6)),
            Direction = (SweepDirection)random.Next(3),
        };
    }

    private async Task<(SweepEnd End, string How, SweepRecord? Run)> SweepAsync(SweepPlan plan, bool unplugs)
    {
        var (header, why) = await StartAsync(plan, ConnectWithin).ConfigureAwait(false);
        if (header is null) return (SweepEnd.RefusedOrTripped, why, null);
        var unplugging = unplugs ? UnplugAsync() : Task.CompletedTask;
        _tell?.Invoke($"{_witness.Now,10} us run started: {plan.Name}, {plan.Points} points, {plan.Direction}");
        var ended = _runner.WaitAsync(header.Id, default);
        if (!await UntilAsync(() => ended.IsCompleted, EndWithin).ConfigureAwait(false))
        {
            _violations.Add($"the run has not ended within {EndWithin.TotalSeconds} s: {_runner.State}");
            return (SweepEnd.RefusedOrTripped, "no end", null);
        }
        var state = await ended.ConfigureAwait(false);
        var run = _recorder.Runs[^1];
        _tell?.Invoke($"{_witness.Now,10} us run ended: {state} {string.Join("; ", run.Trips)}");
        var lease = _rig.Options.LeaseMilliseconds * 1000L;
        // A run that went to its end was switched off before it was closed; one that tripped may leave it to the lease.
        _driveMustEndBy = _witness.Now + (state == RunState.Complete ? 0 : lease);
        await Task.Delay(TimeSpan.FromSeconds(1), Clock).ConfigureAwait(false);
        await unplugging.ConfigureAwait(false);
        if (state != RunState.Complete)
        {
            if (run.Trips.Count == 0) _violations.Add($"the run ended {state} without a trip");
            return (SweepEnd.RefusedOrTripped, string.Join("; ", run.Trips.Select(t => $"{t.Cause} {t.Measured}")), run);
        }
        if (RecordCheck.GapFault(run) is { } fault) _violations.Add(fault);
        return (run.Gaps.Count > 0 ? SweepEnd.WithGaps : SweepEnd.Complete, "", run);
    }

    /// <summary>As an operator would: waits for the rig, acknowledges what has tripped meanwhile, and asks again.</summary>
    private async Task<(RunHeader? Header, string Why)> StartAsync(SweepPlan plan, TimeSpan within)
    {
        var until = Clock.Elapsed + within;
        var why = "never connected";
        while (await UntilAsync(() => _runner.State is { Link: RigLinkState.Connected } s && (s.Trip is null || s.TripCauseGone), until - Clock.Elapsed).ConfigureAwait(false))
        {
            if (_runner.State.Trip is not null)
            {
                await _runner.AcknowledgeAsync(default).ConfigureAwait(false);
                continue;
            }
            if (plan.Stop.Value > 0 && _runner.State.Permit is null)
                await _runner.GrantPermitAsync(plan.Stop, TimeSpan.FromMinutes(5), "fold-back check", default).ConfigureAwait(false);
            var started = await _runner.StartAsync(new(plan, new("SKUA-014", "6AU6", "Skua"), 0), default).ConfigureAwait(false);
            if (started.IsAccepted) return (started.Value, "");
            why = string.Join("; ", started.Refusals.Select(r => r.Code));
            if (started.Refusals.Any(r => r.Code is not ("tripped" or "rig-not-connected" or "busy"))) _violations.Add($"a good plan was refused: {why}");
        }
        return (null, why);
    }

    private async Task UnplugAsync()
    {
        await Task.Delay(TimeSpan.FromMilliseconds(700 * _random.NextDouble()), Clock).ConfigureAwait(false);
        _port.Unplug();
        await Task.Delay(TimeSpan.FromMilliseconds(50 + 1_500 * _random.NextDouble()), Clock).ConfigureAwait(false);
        _port.PlugIn();
    }

    /// <summary>On a good line the bench must come back by itself, be acknowledged, and sweep whole.</summary>
    private async Task MendAsync()
    {
        _port.Heal();
        // What the line still held must be out of it.
        await Task.Delay(TimeSpan.FromSeconds(3), Clock).ConfigureAwait(false);
        _driveMustEndBy = 0;
        var (header, why) = await StartAsync(PlanExamples.GentlePentode.Plan with { Points = 10, DwellMicroseconds = 100 }, MendWithin).ConfigureAwait(false);
        if (header is null)
        {
            _violations.Add($"the line is good again and the bench does not come back: {why}");
            return;
        }
        var ended = _runner.WaitAsync(header.Id, default);
        await UntilAsync(() => ended.IsCompleted, EndWithin).ConfigureAwait(false);
        var run = _recorder.Runs[^1];
        if (!ended.IsCompletedSuccessfully || ended.Result != RunState.Complete || run.Gaps.Count > 0 || RecordCheck.GapFault(run) is not null)
            _violations.Add($"the line is good again and a sweep ends {(ended.IsCompletedSuccessfully ? ended.Result : "never")} {string.Join("; ", run.Trips)}");
        _violations.AddRange(RecordCheck.Wrong(run, _rig.Journal.Samples()).Take(3));
        _driveMustEndBy = _witness.Now;
    }

    private bool CheckSafety()
    {
        var before = _violations.Count;
        var journal = _rig.Journal.Snapshot();
        var driving = LeaseWitness.Driving(journal, _rig.Options.Drive.ToCode(_rig.Options.HardLimits.DriveFloor));
        if (_witness.DroveWithoutHold(driving, _rig.Options.LeaseMilliseconds * 1000L + Rounding, _witness.Now) is { } at)
            _violations.Add($"the rig drove after {at} us, when its lease had run out");
        if (driving.Count > 0 && driving[^1].To > _driveMustEndBy + Rounding)
            _violations.Add($"the run was over, and the rig still drove after {_driveMustEndBy} us, until {driving[^1].To} us");
        var highest = _recorder.Runs.Select(r => r.Header.Plan.Stop.Value).DefaultIfEmpty(0).Max();
        if (journal.Where(e => e.Kind == JournalKind.DriveWritten).Any(e => e.Value > highest + 1e-9)) _violations.Add($"the rig drove above {highest} V");
        return _violations.Count > before;
    }

    private async Task<bool> UntilAsync(Func<bool> isSo, TimeSpan within)
    {
        var until = Clock.Elapsed + within;
        while (!isSo())
        {
            if (Clock.Elapsed >= until) return false;
            await Task.Delay(TimeSpan.FromMilliseconds(20), Clock).ConfigureAwait(false);
        }
        return true;
    }
}
