using SweepRig.Sweeps.Studies;
using SweepRig.Tubes.Lots;

namespace SweepRig.Sweeps.Tests.Studies;

/// <summary>Soak, repeats, warm-up and life test on the simulated bench, whose hours pass in moments.</summary>
public sealed class HoursOnTheBenchTests
{
    [Fact]
    public void A_tube_at_rest_is_told_to_have_settled()
    {
        var bench = new PlayedBench(StudyCases.Sound);
        var done = bench.Play(Series.Begin(bench.Rig, StudyCases.Soak(10, 24)));
        Assert.Equal(StudyEnd.Completed, done.End);
        Assert.InRange(bench.Now.TotalHours, 4, 4.1);
        Assert.Contains(done.Findings.Notes, n => n.StartsWith("Settled:", StringComparison.Ordinal));
        var late = Find(done, "soak.late-drift");
        Assert.InRange(Math.Abs(late.Value!.Value), 0, late.ExpandedUncertainty!.Value + 0.1e-3);
    }

    [Fact]
    public void A_tube_that_settles_slowly_is_told_to_drift_at_its_rate()
    {
        // 100 mV that die away with 1 h: half an hour to four and a half, in its second half on average by 100 mV (exp(-2.5) - exp(-4.5))/2 h.
        var bench = new PlayedBench(StudyCases.With(new() { Settling = new(0.1, 3_600) }));
        var done = bench.Play(Series.Begin(bench.Rig, StudyCases.Soak(10, 24)));
        Assert.Contains(done.Findings.Notes, n => n.StartsWith("Not settled:", StringComparison.Ordinal));
        Assert.InRange(Find(done, "soak.late-drift").Value!.Value, -8e-3, -3e-3);
        Assert.True(Find(done, "soak.drift").Value < Find(done, "soak.late-drift").Value, "it drifts most at first");
    }

    [Fact]
    public void A_soak_with_current_wears_no_more_than_it_must_and_keeps_its_times()
    {
        var bench = new PlayedBench(StudyCases.Sound);
        var done = bench.Play(Series.Begin(bench.Rig, StudyCases.Soak(2, 6, draws: true)));
        Assert.Equal(6, bench.Runs.Count(r => r.Header.Plan.Name.StartsWith("Screening", StringComparison.Ordinal)));
        for (var k = 1; k <= 6; k++) Assert.Equal(2, (done.Runs[4 + k].At - done.Runs[3 + k].At).TotalMinutes, 0.01);
    }

    [Fact]
    public void Repeats_tell_how_well_a_tube_repeats()
    {
        var still = Played(TubeBehaviour.None);
        var wandering = Played(new() { WanderVolts = 5e-3, WanderSeconds = 30 });
        Assert.InRange(Find(wandering, "repeat.repeatability").Value!.Value, 3e-3, 8e-3);
        Assert.True(Find(still, "repeat.repeatability").Value < 0.5e-3);
        Assert.Equal(StudyEnd.Completed, still.End);

        static Series Played(TubeBehaviour behaviour)
        {
            var bench = new PlayedBench(StudyCases.With(behaviour));
            return bench.Play(Series.Begin(bench.Rig, StudyCases.Repeat(5, 30)));
        }
    }

    // The cathode warms with a time constant of 8 s (SettlingTimes), one that warms slowly with three times that.
    [Fact]
    public void A_slow_cathode_takes_as_many_times_longer()
    {
        var ordinary = Played(1);
        var slow = Played(3);
        foreach (var word in new[] { "warm-up.to-50", "warm-up.to-90" })
            Assert.InRange(Find(slow, word).Value!.Value / Find(ordinary, word).Value!.Value, 2.7, 3.3);
        Assert.InRange(Find(ordinary, "warm-up.recommended").Value!.Value, 15, 60);
        Assert.True(Find(ordinary, "warm-up.to-50").Value < Find(ordinary, "warm-up.to-99").Value);

        static WarmUp Played(double factor)
        {
            var bench = new PlayedBench(StudyCases.With(new() { WarmUpFactor = factor }));
            return bench.Play(WarmUp.Begin(bench.Rig, StudyCases.WarmUp() with { Times = 1, Watch = TimeSpan.FromMinutes(3), BenchWarmUp = TimeSpan.FromSeconds(40) }));
        }
    }

    // Heater-cycling life tests of receiving tubes: 1 min on, 4 min off, 2,000 cycles, which is a week (MIL-E-1 and MIL-STD-1311, from memory). End of life of an RF pentode: 67 % of its plate
    // current (EF860 data sheet, RFT).
    [Fact]
    public void A_life_test_takes_the_time_of_the_trades_cycle_and_ends_where_a_data_sheet_does()
    {
        const double cycleMinutes = 1 + 4;
        var setup = StudyCases.Life(20, 10);
        Assert.Equal((1.0, 4.0), (setup.On.TotalMinutes, setup.Off.TotalMinutes));
        Assert.Equal(100 - 67, setup.MostLossPercent);
        var bench = new PlayedBench(StudyCases.Sound);
        var done = bench.Play(Life.Begin(bench.Rig, setup));
        Assert.Equal(StudyEnd.Completed, done.End);
        Assert.InRange(bench.Now.TotalMinutes, 20 * cycleMinutes, 20 * cycleMinutes + 15);
        var week = Life.Begin(bench.Rig, StudyCases.Life(2_000, 200)).Left.Time;
        Assert.InRange(week.TotalDays, 2_000 * cycleMinutes / 60 / 24, 7.5);
    }

    [Fact]
    public void An_open_heater_is_told_from_a_slow_one()
    {
        var bench = new PlayedBench(StudyCases.With(new() { HeaterOpen = true }));
        var done = bench.Play(WarmUp.Begin(bench.Rig, StudyCases.WarmUp()));
        Assert.Equal(StudyEnd.Dead, done.End);
        Assert.Single(bench.Runs);
        Assert.Null(Find(done, "warm-up.recommended").Value);
    }

    [Theory]
    [InlineData(0.0, 0, StudyEnd.Completed)]
    [InlineData(0.12, 0, StudyEnd.WornOut)]
    [InlineData(0.0, 14, StudyEnd.Dead)]
    public void A_life_test_ends_as_the_tube_does(double lossPerCycle, int breaksAt, StudyEnd end)
    {
        var bench = new PlayedBench(StudyCases.With(new() { Wear = new(8_000, lossPerCycle, breaksAt) }));
        var done = bench.Play(Life.Begin(bench.Rig, StudyCases.Life(60, 5)));
        Assert.Equal(end, done.End);
        switch (end)
        {
            case StudyEnd.Completed:
                Assert.Equal(60, done.Cycles);
                Assert.Equal(Life.AtFirst + 12, done.Runs.Count);
                Assert.InRange(Find(done, "life.current").Value!.Value, 99.5, 100.5);
                break;
            case StudyEnd.WornOut:
                Assert.True(Find(done, "life.current").Value < 67);
                // Richardson's law, which the simulated wear follows: the emission by the shift is the emission that is left.
                Assert.InRange(Find(done, "life.emission").Value!.Value / 100, 0.5 * Math.Pow(1 - lossPerCycle, done.Cycles), 2 * Math.Pow(1 - lossPerCycle, done.Cycles));
                break;
            default:
                // The first switching on is no cycle.
                Assert.Equal(15, done.Cycles);
                Assert.Contains("heater is open", done.Because, StringComparison.Ordinal);
                break;
        }
    }

    private static Analysis.Figure Find(Study study, string word) => study.Findings.Figures.Single(f => f.Word == word).Value;
}
