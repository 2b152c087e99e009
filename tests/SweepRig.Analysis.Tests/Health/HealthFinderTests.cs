using SweepRig.Analysis.Health;
using SweepRig.Analysis.Levels;
using SweepRig.Domain.Interlocks;
using SweepRig.Domain.Runs;
using SweepRig.Domain.Screening;
using SweepRig.Tubes.Fixture;
using SweepRig.Tubes.Model;

namespace SweepRig.Analysis.Tests.Health;

public class HealthFinderTests
{
    [Fact]
    public void A_sound_tube_is_good_and_what_was_not_seen_is_listed()
    {
        var report = HealthFinder.Find(new Screenings(Screenings.Sound).All);
        Assert.True(report.Verdict == HealthVerdict.Good, string.Join("; ", report.Reasons));
        Assert.Empty(report.Reasons);
        Assert.Equal(HealthVerdict.NotSeen, Item(report, "heater-current").Verdict);
        Assert.Contains(report.NotSeen, l => l.StartsWith("heater to cathode", StringComparison.Ordinal));
        Assert.Equal(report.Items.Count, report.Items.DistinctBy(i => i.Name).Count());
        Assert.All(report.Items, i => Assert.NotEqual(i.Figure.Value is null, i.Figure.AbsentBecause is null));
        Assert.All(report.Items.Where(i => i.Verdict != HealthVerdict.Good), i => Assert.NotEmpty(i.Reasons));
    }

    // The model's own constants are the truth.
    [Theory]
    [InlineData(0, 0)]
    [InlineData(5e-3, 0)]
    [InlineData(0, 0.5e-6)]
    [InlineData(3e-3, 0.2e-6)]
    public void Reverse_grid_current_is_split_into_its_parts(double gas, double leak)
    {
        var report = HealthFinder.Find(new Screenings(Screenings.Sound with { GasRatio = gas, GridScreenLeakSiemens = leak, GridPlateLeakSiemens = 0, GridCathodeLeakSiemens = 0 }).All);
        Within(Item(report, "reverse-grid-ohmic").Figure, leak, 1e-9);
        // Ions go with the current that passes grid 1, which is the cathode current but for the few microamperes of grid current.
        Within(Item(report, "reverse-grid-proportional").Figure, gas, 1e-4);
        Within(Item(report, "insulation-grid-others").Figure, leak, 1e-9);
        Assert.Equal(gas > 1e-3 ? HealthVerdict.Bad : HealthVerdict.Good, Item(report, "reverse-grid-proportional").Verdict);
        Assert.Equal(leak > 0.1e-6 ? HealthVerdict.Bad : HealthVerdict.Good, Item(report, "reverse-grid-ohmic").Verdict);

        static void Within(Figure figure, double truth, double room) =>
            Assert.True(Math.Abs(figure.Value!.Value - truth) <= 3 * figure.Uncertainty!.Value + room, $"{figure.Value} ± {figure.Uncertainty} {figure.Unit}, truth {truth}");
    }

    [Theory]
    [InlineData(0.120)]
    [InlineData(0.004)]
    public void The_emission_reserve_is_the_models_own(double emission)
    {
        var screenings = new Screenings(Screenings.Sound with { Emission = emission });
        double Current(double heater) => new FixtureSolver(Screenings.Fixture).Solve(screenings.Warm(heater), 0) is var p ? p.PlateCurrent + p.ScreenCurrent : 0;
        var figure = Item(HealthFinder.Find(screenings.All), "emission-reserve").Figure;
        Assert.Equal(100 * (1 - Current(0.9 * 6.3) / Current(6.3)), figure.Value!.Value, 0.1);
    }

    // T rises as 1 - exp(-t/tau), so twice the time constant is twice the time; and the time is that at which the model's current passes 0.8 of its last.
    [Fact]
    public void The_warm_up_time_is_that_of_the_cathode()
    {
        double Time(double tau) => Item(HealthFinder.Find(new Screenings(Screenings.Sound) { TauSeconds = tau }.All), "warm-up").Figure.Value!.Value;
        var solver = new FixtureSolver(Screenings.Fixture);
        double Current(double seconds) =>
            solver.Solve(TubeModel.AtTemperature(Screenings.Sound, 1050 - (1050 - 293.15) * Math.Exp(-seconds / 8)), 0) is var p ? p.PlateCurrent + p.ScreenCurrent : 0;
        var (low, high) = (1.0, 40.0);
        while (high - low > 1e-3) (low, high) = Current((low + high) / 2) < 0.8 * Current(400) ? ((low + high) / 2, high) : (low, (low + high) / 2);
        Assert.Equal(low, Time(8), 0.15);
        Assert.Equal(2 * Time(8), Time(16), 0.3);
    }

    [Fact]
    public void A_resistance_in_the_cathode_is_measured()
    {
        // R in the cathode moves every electrode up by R I: the same curve at a grid that is higher by it (screen and plate feel it mu2 and mup times less).
        var sound = new Screenings(Screenings.Sound).All;
        const double ohms = 1_500;
        var bent = sound.Select(r => r.Kind != ScreeningStepKind.Transfer ? r : r with { Curve = r.Curve! with { Grid = [.. r.Curve.Grid.Select((g, i) => g + ohms * (r.Curve.PlateCurrent[i] + r.Curve.ScreenCurrent[i]))] } }).ToArray();
        var without = Item(HealthFinder.Find(sound), "cathode-resistance").Figure;
        var with = Item(HealthFinder.Find(bent), "cathode-resistance");
        Assert.Equal(ohms, with.Figure.Value!.Value - without.Value!.Value, 150.0);
        Assert.InRange(without.Value!.Value, -250, 250);
        Assert.Equal(HealthVerdict.Bad, with.Verdict);
    }

    [Theory]
    [InlineData(50)]
    [InlineData(60)]
    public void Hum_is_found_at_its_own_frequency_and_is_no_noise(double hertz)
    {
        var screenings = new Screenings(Screenings.Sound) { Disturbance = t => 0.2 * Math.Sin(2 * Math.PI * hertz * t + 1) };
        var report = HealthFinder.Find(screenings.All);
        var hum = Item(report, "hum");
        var solver = new FixtureSolver(Screenings.Fixture);
        var gain = Math.Abs(solver.Solve(screenings.Warm(), -0.69).Plate - solver.Solve(screenings.Warm(), -0.71).Plate) / 0.02;
        Assert.Equal(0.2 / gain, hum.Figure.Value!.Value, 0.02 * 0.2 / gain);
        Assert.Equal($"at {hertz} Hz", hum.Figure.Mark);
        Assert.Equal(HealthVerdict.Good, Item(report, "noise").Verdict);
    }

    [Fact]
    public void A_ringing_burst_is_microphony_and_a_hiss_is_noise()
    {
        var rings = HealthFinder.Find(new Screenings(Screenings.Sound) { Disturbance = t => t > 1 ? 0.5 * Math.Exp(-(t - 1) / 0.2) * Math.Sin(2 * Math.PI * 437 * t) : 0 }.All);
        Assert.Equal(HealthVerdict.Bad, Item(rings, "microphony").Verdict);
        var random = new Random(3);
        var hisses = HealthFinder.Find(new Screenings(Screenings.Sound) { Disturbance = _ => 0.3 * (random.NextDouble() - 0.5) }.All);
        Assert.Equal(HealthVerdict.Bad, Item(hisses, "noise").Verdict);
        Assert.Equal(HealthVerdict.Good, Item(hisses, "microphony").Verdict);
    }

    [Fact]
    public void An_uncalibrated_rig_is_marked_and_does_not_call_its_own_error_a_leak()
    {
        var report = HealthFinder.Find(new Screenings(Screenings.Sound) { Calibration = Curves.Nominal }.All);
        var leak = Item(report, "insulation-grid-cathode");
        Assert.Equal(HealthVerdict.Good, leak.Verdict);
        Assert.Equal("the rig is not calibrated", leak.Figure.Mark);
        Assert.InRange(leak.Figure.ExpandedUncertainty!.Value, 4e-6, 6e-6);
    }

    // Ohm's law: the grid stands at the drive times R/(R + stopper). An uncalibrated rig knows a hard short for one all the same.
    [Theory]
    [InlineData(5, HealthVerdict.Bad)]
    [InlineData(20_000, HealthVerdict.Bad)]
    [InlineData(10e6, HealthVerdict.Good)]
    public void A_grid_that_is_tied_to_the_cathode_is_judged_by_the_divider(double ohms, HealthVerdict verdict)
    {
        var runs = new Screenings(Screenings.Sound) { Calibration = Curves.Nominal }.All.Take(1).Select(r => r with
        {
            Curve = r.Curve! with { Grid = Array.ConvertAll(r.Curve.Drive, d => d * ohms / (ohms + 4_700)), GridCurrent = Array.ConvertAll(r.Curve.Drive, d => d / (ohms + 4_700)) },
        });
        var item = Item(HealthFinder.Find([.. runs]), "insulation-grid-cathode");
        Assert.Equal(verdict, item.Verdict);
        Assert.Equal(1 / ohms, item.Figure.Value!.Value, 0.03 / ohms);
    }

    [Fact]
    public void A_trip_of_the_bench_says_nothing_of_the_tube_and_one_for_current_does()
    {
        ScreeningRun Tripped(TripCause cause) =>
            new Screenings(Screenings.Sound).All[0] with { State = RunState.Tripped, Trips = [new(cause, true, "9 mA", "8 mA", DateTimeOffset.UnixEpoch, null)] };
        var bench = HealthFinder.Find([Tripped(TripCause.LinkLost)]);
        Assert.Equal(HealthVerdict.NotSeen, bench.Verdict);
        Assert.Contains("that is the bench, not the tube", Assert.Single(bench.Reasons), StringComparison.Ordinal);
        Assert.Equal(HealthVerdict.Bad, HealthFinder.Find([Tripped(TripCause.GridCurrent)]).Verdict);
    }

    // A rig that was not heard for a moment lets its rail go without firing its latch.
    [Fact]
    public void A_step_whose_rail_was_gone_is_no_weak_tube()
    {
        var runs = new Screenings(Screenings.Sound).All.Select(r => r.Kind != ScreeningStepKind.LowHeater ? r : r with
        {
            Curve = r.Curve! with
            {
                Supply = new double[r.Curve.Count], Plate = new double[r.Curve.Count], Screen = new double[r.Curve.Count],
                PlateCurrent = new double[r.Curve.Count], ScreenCurrent = new double[r.Curve.Count],
            },
        });
        var report = HealthFinder.Find([.. runs]);
        Assert.Equal(HealthVerdict.NotSeen, report.Verdict);
        Assert.Contains("had a plate rail of 0 V where 28 V was planned: screen again", Assert.Single(report.Reasons), StringComparison.Ordinal);
        Assert.Equal(HealthVerdict.NotSeen, Item(report, "emission-reserve").Verdict);
    }

    [Fact]
    public void Steps_that_are_missing_are_not_seen_and_never_numbered()
    {
        var all = new Screenings(Screenings.Sound).All;
        var report = HealthFinder.Find([.. all.Where(r => r.Kind is ScreeningStepKind.ColdRailOff or ScreeningStepKind.ColdRailOn)]);
        Assert.All(report.Items.Where(i => !i.Name.StartsWith("insulation", StringComparison.Ordinal)), i => Assert.Equal(HealthVerdict.NotSeen, i.Verdict));
        Assert.All(report.Items.Where(i => i.Verdict == HealthVerdict.NotSeen), i => Assert.Null(i.Figure.Value));
    }

    [Fact]
    public void Points_that_are_missing_are_passed_over()
    {
        var holes = new Screenings(Screenings.Sound).All.Select(r => r with { Curve = WithHoles(r.Curve!) }).ToArray();
        Assert.Equal(HealthVerdict.Good, HealthFinder.Find(holes).Verdict);
    }

    [Fact]
    public void Runs_of_no_or_of_two_screenings_are_refused()
    {
        Assert.Contains("No runs", Assert.Throws<ArgumentException>(() => HealthFinder.Find([])).Message, StringComparison.Ordinal);
        var all = new Screenings(Screenings.Sound).All;
        var other = all[1] with { Header = all[1].Header with { Id = "stray", Screening = new("other", all[1].Kind) } };
        Assert.Contains("Run stray", Assert.Throws<ArgumentException>(() => HealthFinder.Find([all[0], other])).Message, StringComparison.Ordinal);
    }

    [Fact]
    public void Levels_of_a_step_are_asked_for_like_those_of_any_run_and_do_no_harm()
    {
        foreach (var run in new Screenings(Screenings.Sound).All)
        {
            var levels = RunLevelFinder.Find(run.Header, [run.Curve!], new());
            Assert.Single(levels.Curves);
        }
    }

    private static Curve WithHoles(Curve curve)
    {
        double[] Holed(double[] column) => [.. column.Select((v, i) => i % 37 == 5 ? double.NaN : v)];
        return curve with
        {
            Drive = Holed(curve.Drive), Grid = Holed(curve.Grid), Plate = Holed(curve.Plate), Screen = Holed(curve.Screen), Supply = Holed(curve.Supply),
            GridCurrent = Holed(curve.GridCurrent), ScreenCurrent = Holed(curve.ScreenCurrent), PlateCurrent = Holed(curve.PlateCurrent),
            SampledAtTicks = [.. curve.SampledAtTicks.Select((t, i) => i % 37 == 5 ? 0 : t)],
        };
    }

    private static HealthItem Item(HealthReport report, string name) => report.Items.Single(i => i.Name == name);
}
