using SweepRig.Domain.Interlocks;
using SweepRig.Domain.Plans;
using SweepRig.Domain.Runs;
using SweepRig.Rigs.Calibration;
using SweepRig.Rigs.Simulated;
using SweepRig.Sweeps.Running;
using SweepRig.Sweeps.Tests.Support;

namespace SweepRig.Sweeps.Tests.Integration;

[Collection(nameof(OnTheRealClock))]
public sealed class SimulatedSweepTests
{
    /// <summary>Small enough for a busy machine, still from cut-off to far positive.</summary>
    private static readonly SweepPlan FarPositive = PlanExamples.FarPositivePentode.Plan with { Points = 96 };

    [Fact]
    public async Task A_pentode_swept_far_positive_under_a_permit_folds_back()
    {
        await using var bench = new SimulatedBench();
        await bench.UntilAsync(s => s.Link == RigLinkState.Connected);
        Assert.Empty((await bench.Runner.GrantPermitAsync(new(24), TimeSpan.FromMinutes(5), "fold-back", default)).Refusals);
        var started = await bench.Runner.StartAsync(Samples.Request(FarPositive), default);
        Assert.Empty(started.Refusals);
        Assert.Equal(RunState.Complete, await bench.EndAsync(started.Value!));

        var curves = CurveBuilder.Build(started.Value!, bench.Recording.Blocks);
        Assert.Equal(2, curves.Count);
        Assert.Empty(bench.Recording.Gaps);
        var up = curves[0];
        Assert.All(up.Plate, v => Assert.False(double.IsNaN(v)));
        // Cut off, the output stands at the rail; common practice, no source: far positive it has passed its floor of some volts and rises again.
        Assert.Equal(28, up.Plate[0], 0.2);
        Assert.InRange(up.Plate.Min(), 3, 8);
        Assert.True(up.Plate[^1] > up.Plate.Min() + 0.05);
        Assert.InRange(up.Drive[^1], 23.9, 24.0 + 1e-9);

        var journal = bench.Rig.Journal;
        Assert.True(journal.IsSafe);
        var written = journal.Snapshot().Where(e => e.Kind == JournalKind.DriveWritten).ToList();
        Assert.InRange(written.Max(e => e.Value), 23.9, 24.0 + 1e-9);
    }

    [Fact]
    public async Task Without_a_permit_no_positive_drive_is_ever_written()
    {
        await using var bench = new SimulatedBench();
        await bench.UntilAsync(s => s.Link == RigLinkState.Connected);
        var refused = await bench.Runner.StartAsync(Samples.Request(FarPositive), default);
        Assert.Equal("positive-drive-without-permit", Assert.Single(refused.Refusals).Code);
        var started = await bench.Runner.StartAsync(Samples.Request(Samples.Gentle), default);
        Assert.Equal(RunState.Complete, await bench.EndAsync(started.Value!));
        Assert.DoesNotContain(bench.Rig.Journal.Snapshot(), e => e.Kind == JournalKind.DriveWritten && e.Value > 0);
        Assert.True(bench.Rig.Journal.IsSafe);
    }

    [Fact]
    public async Task A_cable_pulled_in_mid_sweep_leaves_the_rig_safe_and_the_record_whole()
    {
        await using var bench = new SimulatedBench();
        await bench.UntilAsync(s => s.Link == RigLinkState.Connected);
        var plan = Samples.Gentle with { Points = 1000, DwellMicroseconds = 20_000 };
        var started = await bench.Runner.StartAsync(Samples.Request(plan), default);
        await bench.UntilAsync(s => s.Run?.PointsDone > 8);
        bench.Port.Unplug();
        Assert.Equal(RunState.Tripped, await bench.EndAsync(started.Value!));
        Assert.Equal(RigLinkState.Lost, bench.Runner.State.Link);
        Assert.Equal(TripCause.LinkLost, bench.Runner.State.Trip!.Cause);
        Assert.True(bench.Recording.Blocks.Sum(b => b.Count) > 8);

        // By its own record the rig is safe once it is heard of again, and only an acknowledgement lets it run.
        bench.Port.PlugIn();
        await bench.UntilAsync(s => s is { Link: RigLinkState.Connected, TripCauseGone: true });
        Assert.True(bench.Rig.Journal.IsSafe);
        Assert.Equal("tripped", (await bench.Runner.StartAsync(Samples.Request(Samples.Gentle), default)).Refusals[0].Code);
        Assert.Empty((await bench.Runner.AcknowledgeAsync(default)).Refusals);
        var again = await bench.Runner.StartAsync(Samples.Request(Samples.Gentle), default);
        var final = await bench.EndAsync(again.Value!);
        Assert.True(final == RunState.Complete, $"{final}: {string.Join("; ", bench.Recording.Trips)} {string.Join("; ", bench.Rig.Journal.Snapshot().TakeLast(8))}");
    }

    [Fact]
    public async Task A_line_that_turns_to_noise_in_mid_sweep_leaves_the_rig_safe_and_no_wrong_value_on_record()
    {
        await using var bench = new SimulatedBench();
        await bench.UntilAsync(s => s.Link == RigLinkState.Connected);
        Assert.Empty((await bench.Runner.GrantPermitAsync(new(24), TimeSpan.FromMinutes(5), "noise", default)).Refusals);
        var plan = FarPositive with { Start = new(1), Points = 1000, DwellMicroseconds = 20_000, Direction = SweepDirection.Up };
        var started = await bench.Runner.StartAsync(Samples.Request(plan), default);
        await bench.UntilAsync(s => s.Run?.PointsDone > 8);
        Assert.False(bench.Rig.Journal.IsSafe);

        bench.ToHost.Rates = new() { Burst = 1 };

        Assert.Equal(RunState.Tripped, await bench.EndAsync(started.Value!));
        Assert.Equal(TripCause.LinkLost, Assert.Single(bench.Recording.Trips).Cause);
        Assert.Contains("nothing came for 500 ms", bench.Runner.State.LinkFault, StringComparison.Ordinal);
        using var late = new CancellationTokenSource(TimeSpan.FromSeconds(20));
        await bench.Rig.Journal.UntilAsync(_ => bench.Rig.Journal.IsSafe, late.Token);
        // All that is on record stands where it should: one code a point, rising from 1 V by even steps.
        var curve = Assert.Single(CurveBuilder.Build(started.Value!, bench.Recording.Blocks));
        var measured = Enumerable.Range(0, curve.Drive.Length).Where(i => !double.IsNaN(curve.Drive[i])).ToList();
        Assert.True(measured.Count > 8);
        Assert.All(measured, i => Assert.Equal(1 + 23.0 * i / 999, curve.Drive[i], 0.01));
    }

    [Fact]
    public async Task Make_safe_in_mid_sweep_switches_rail_and_heater_off()
    {
        await using var bench = new SimulatedBench();
        await bench.UntilAsync(s => s.Link == RigLinkState.Connected);
        var plan = Samples.Gentle with { Points = 1000, DwellMicroseconds = 20_000 };
        var started = await bench.Runner.StartAsync(Samples.Request(plan), default);
        await bench.UntilAsync(s => s.Run?.PointsDone > 8);
        var safe = await bench.Runner.MakeSafeAsync("a smell of burning", default);
        Assert.Empty(safe.Refusals);
        Assert.True(bench.Rig.Journal.IsSafe);
        Assert.Equal(RunState.Tripped, await bench.EndAsync(started.Value!));
        Assert.False(bench.Rig.Journal.HeaterOn);
        Assert.Equal(TripCause.HostOrder, Assert.Single(bench.Recording.Trips).Cause);
        Assert.Empty((await bench.Runner.AcknowledgeAsync(default)).Refusals);
    }
}
