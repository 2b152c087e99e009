using SweepRig.Domain;
using SweepRig.Domain.Interlocks;
using SweepRig.Domain.Studies;
using SweepRig.Sweeps.Planning;
using SweepRig.Sweeps.Studies;
using SweepRig.Sweeps.Tests.Support;

namespace SweepRig.Sweeps.Tests.Studies;

/// <summary>A study through the runner.</summary>
public sealed class StudyConductorTests
{
    private static readonly Refusal NoPermit = new("positive-drive-without-permit", "", "12 V", "0 V", "Grant a permit.");

    [Fact]
    public async Task Each_run_is_on_record_with_its_study_and_the_clock_is_kept()
    {
        await using var bench = await TestBench.ConnectedAsync();
        var setup = new SoakSetup("study", Samples.Tube, 1, StudyCases.Fixture, TimeSpan.FromMinutes(1), 2) { Settle = TimeSpan.FromSeconds(10) };
        var began = bench.Time.GetTimestamp();
        var done = await RunAsync(bench, Series.Begin(Samples.Rig, setup));
        Assert.Equal(StudyEnd.Completed, done.Findings.End);
        Assert.InRange(bench.Time.GetElapsedTime(began).TotalSeconds, 10 + 20 + 120, 10 + 20 + 120 + 5);
        Assert.Equal(7, bench.Recorder.Runs.Count);
        Assert.All(bench.Recorder.Runs, r =>
        {
            Assert.Null(r.Header.Screening);
            Assert.Equal((StudyKind.Soak, "study", 1), (r.Header.Study!.Kind, r.Header.Study.StudyId, r.Header.Socket));
            Assert.Equal(setup, StudyDocument.Read(r.Header));
        });
        Assert.Equal([StudyRole.Baseline, StudyRole.Baseline, StudyRole.Baseline, StudyRole.Baseline, StudyRole.Baseline, StudyRole.Measure, StudyRole.Measure], bench.Recorder.Runs.Select(r => r.Header.Study!.Role));
        Assert.Equal([2, 4, 6, 8, 10, 12, 14], bench.Recorder.Runs.Select(r => r.Header.Study!.Step));
    }

    [Fact]
    public async Task A_watch_and_heater_cycles_reach_the_rig()
    {
        await using var bench = await TestBench.ConnectedAsync();
        var warm = new WarmUpSetup("study", Samples.Tube, 0, StudyCases.Fixture, 2) { Cool = TimeSpan.FromSeconds(10), Watch = TimeSpan.FromSeconds(20) };
        Assert.Equal(StudyEnd.Completed, (await RunAsync(bench, WarmUp.Begin(Samples.Rig, warm))).Findings.End);
        Assert.Equal(2, bench.Recorder.Runs.Count);
        var switchings = bench.Journal.Where(j => j.StartsWith("rig supplies heater", StringComparison.Ordinal)).Select(j => j.Contains("heater on", StringComparison.Ordinal)).ToArray();
        Assert.Equal([true, false, true], switchings.Where((on, i) => i == 0 || on != switchings[i - 1]).SkipWhile(on => !on).Take(3));
    }

    [Fact]
    public async Task Without_a_permit_nothing_goes_positive()
    {
        await using var bench = await TestBench.ConnectedAsync();
        var asked = 0;
        var done = await RunAsync(bench, Exploration.Begin(Samples.Rig, Explored), _ => asked++ == 0 ? [NoPermit] : []);
        Assert.Equal(StudyEnd.Failed, done.Findings.End);
        Assert.Contains("Grant a permit.", done.Findings.Because, StringComparison.Ordinal);
        Assert.Equal(1, asked);
        Assert.InRange(Samples.Rig.Drive.ToVolts(bench.Rig.HighestCode), -16, 0);
    }

    [Fact]
    public async Task A_trip_ends_it()
    {
        await using var bench = await TestBench.ConnectedAsync();
        var running = RunAsync(bench, Exploration.Begin(Samples.Rig, Explored), act =>
        {
            // The rig trips with the permit: its first sweep above 0 V finds the latch fired.
            bench.Rig.Trip(TripCause.GridCurrent);
            return [];
        });
        var done = await running;
        Assert.NotEqual(StudyEnd.UnderWay, done.Findings.End);
        Assert.NotEqual(StudyEnd.Completed, done.Findings.End);
        Assert.InRange(Samples.Rig.Drive.ToVolts(bench.Rig.HighestCode), -16, 0);
    }

    [Fact]
    public async Task Cancelled_it_leaves_no_run_under_way()
    {
        await using var bench = await TestBench.ConnectedAsync();
        using var cancelled = new CancellationTokenSource();
        var conducting = Conductor(bench, _ => []).RunAsync(Series.Begin(Samples.Rig, new SoakSetup("study", Samples.Tube, 0, StudyCases.Fixture, TimeSpan.FromMinutes(1), 2)), (_, _) => { }, cancelled.Token);
        bench.Rig.RunsByItself = false;
        await bench.UntilAsync(_ => bench.Rig.Program is not null);
        await cancelled.CancelAsync();
        await bench.UntilAsync(s => conducting.IsCompleted && s.Run is null);
        await Assert.ThrowsAnyAsync<OperationCanceledException>(() => conducting);
        Assert.Equal(Domain.Runs.RunState.Stopped, bench.Recording.State);
    }

    private static ExplorationSetup Explored => new("study", Samples.Tube, 0, StudyCases.Fixture, new(12), ExplorationLimits.Of(Samples.Rig, CatalogueRatings.BuiltIn.Of("6AU6")))
    {
        Settle = TimeSpan.FromSeconds(5),
        BaselineSweeps = 3,
    };

    private static StudyConductor Conductor(TestBench bench, Func<StudyAct.Sweep, IReadOnlyList<Refusal>> permit) => new(
        bench.Runner, (id, _) => Task.FromResult<IReadOnlyList<Domain.Runs.SampleBlock>>([.. bench.Recorder.Runs.Single(r => r.RunId == id).Blocks]), (act, _) => Task.FromResult(permit(act)), bench.Time);

    private static async Task<IStudy> RunAsync(TestBench bench, IStudy study, Func<StudyAct.Sweep, IReadOnlyList<Refusal>>? permit = null)
    {
        var conducting = Conductor(bench, permit ?? (_ => [])).RunAsync(study, (_, _) => { }, TestContext.Current.CancellationToken);
        await bench.UntilAsync(_ => conducting.IsCompleted);
        return await conducting;
    }
}
