using Microsoft.Extensions.Logging.Abstractions;
using SweepRig.Domain.Interlocks;
using SweepRig.Domain.Runs;
using SweepRig.Rigs.Link;
using SweepRig.Rigs.Simulated;
using SweepRig.Sweeps.Running;
using SweepRig.Tubes.Catalogue;
using SweepRig.Tubes.Lots;
using SweepRig.Wire.Campaign;
using SweepRig.Wire.Line;

namespace SweepRig.Sweeps.Tests.Faults;

/// <summary>What came of a case.</summary>
/// <param name="First">The trip that fired first; null for none.</param>
/// <param name="SafeAfter">From the fault until drive and rail were safe for good.</param>
/// <param name="Refused">Why no sweep began; empty when one did.</param>
internal sealed record FaultEnd(FaultCase Case, bool Unattended, Trip? First, RunState? Run, TimeSpan SafeAfter, string Refused)
{
    public override string ToString() => $"{(Unattended ? "unattended" : "attended")}: {(Refused.Length > 0 ? $"refused: {Refused}" : $"{Run} {First?.Cause.ToString() ?? "no trip"} {First?.Measured} / {First?.Limit}, safe after {SafeAfter.TotalSeconds:0.000} s")}";
}

/// <summary>A case played on a bench of its own, on a virtual clock: runner, link host, line, simulated rig with its converters and tube.</summary>
internal sealed class FaultedSweep : IAsyncDisposable
{
    private static readonly TimeSpan Before = TimeSpan.FromSeconds(1), Longest = TimeSpan.FromMinutes(5);

    private readonly FaultCase _case;
    private readonly bool _unattended;
    private readonly LineDamage _toHost = new(LineRates.Clean, 2);
    private readonly SimulatedRig _rig;
    private readonly FaultyPort _port;
    private readonly LinkRig _link;
    private readonly SweepRecorder _recorder = new();
    private readonly SweepRunner _runner;

    private FaultedSweep(FaultCase what, bool unattended, VirtualClock clock)
    {
        (_case, _unattended, Clock) = (what, unattended, clock);
        var tube = what.Defects.Aggregate(new Specimen(ExampleTubes.Sound6AU6, TubeBehaviour.None), (t, d) => d.Apply(t));
        var rigClock = what.ClockRate == 1 ? (TimeProvider)clock : new SkewedClock(clock, what.ClockRate);
        _rig = new(new() { Tubes = [tube.Parameters], Behaviours = [tube.Behaviour], HeaterSpeed = 1000 }, rigClock);
        _port = new(new SimulatedRigPort(_rig), new(LineRates.Clean, 1), _toHost, clock);
        _link = new(_port, clock, NullLogger<LinkRig>.Instance);
        _runner = new(_link, _recorder, new() { WarmAfter = TimeSpan.FromMilliseconds(60) }, clock, NullLogger<SweepRunner>.Instance);
    }

    private VirtualClock Clock { get; }

    public static (VirtualClock Clock, Func<Task<FaultEnd>> Run) Of(FaultCase what, bool unattended)
    {
        var clock = new VirtualClock();
        return (clock, async () =>
        {
            await using var sweep = new FaultedSweep(what, unattended, clock);
            return await sweep.RunAsync();
        });
    }

    public async ValueTask DisposeAsync()
    {
        await _runner.DisposeAsync();
        await _link.DisposeAsync();
        await _port.DisposeAsync();
        await _rig.DisposeAsync();
    }

    private async Task<FaultEnd> RunAsync()
    {
        _runner.Start();
        await UntilAsync(() => _runner.State is { Link: RigLinkState.Connected });
        await _runner.SetAttendanceAsync(!_unattended, default);
        if (_case.Plan.Stop.Value > 0) await _runner.GrantPermitAsync(_case.Plan.Stop, TimeSpan.FromMinutes(10), "fold-back check", default);
        var started = await _runner.StartAsync(new(_case.Plan, new("SKUA-014", "6AU6", "Skua"), 0), default);
        if (started.Value is not { } header) return new(_case, _unattended, null, null, default, string.Join("; ", started.Refusals));
        await UntilAsync(() => _recorder.Runs is [{ Blocks.Count: > 0 }] || _runner.State.Trip is not null);
        var begun = Clock.Elapsed;
        var fromStart = _case.Defects.Length > 0;
        if (!fromStart) await Task.Delay(Before, Clock);
        var since = fromStart ? begun : Clock.Elapsed;
        Happen((long)(since.TotalMicroseconds * _case.ClockRate));
        var ended = _runner.WaitAsync(header.Id, default);
        await UntilAsync(() => ended.IsCompleted);
        // What the rig still does once the host has given up is seen too.
        await Task.Delay(TimeSpan.FromSeconds(1), Clock);
        var driving = LeaseWitness.Driving(_rig.Journal.Snapshot(), _rig.Options.Drive.ToCode(_rig.Options.HardLimits.DriveFloor));
        var safe = driving.Count == 0 ? TimeSpan.Zero : driving[^1].To == long.MaxValue ? TimeSpan.MaxValue : (TimeSpan.FromMicroseconds(driving[^1].To) / _case.ClockRate) - since;
        return new(_case, _unattended, _recorder.Runs[0].Trips.FirstOrDefault(), await ended, safe, "");
    }

    private void Happen(long rigMicroseconds)
    {
        if (_case.Fault is { } fault) _rig.Inject(fault(rigMicroseconds));
        if (_case.Line is { } rates) _toHost.Rates = rates;
        if (_case.Unplugs) _port.Unplug();
        if (_case.Jump != default) Clock.Jump(_case.Jump);
    }

    private async Task UntilAsync(Func<bool> isSo)
    {
        while (!isSo())
        {
            if (Clock.Elapsed > Longest) throw new InvalidOperationException($"{_case.Name}: not within {Longest.TotalMinutes} min: {_runner.State}");
            await Task.Delay(TimeSpan.FromMilliseconds(20), Clock);
        }
    }
}
