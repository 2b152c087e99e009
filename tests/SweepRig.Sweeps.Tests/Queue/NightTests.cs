using SweepRig.Sweeps.Queue;

namespace SweepRig.Sweeps.Tests.Queue;

public sealed class NightTests
{
    private const string Run = "01a16f47d15271c08f35fbea70fab4ef";

    [Fact]
    public void Steps_are_begun_by_priority_and_then_in_the_order_of_the_document()
    {
        var setup = Nights.Setup(Nights.Text($"{Nights.Job("later")}, {Nights.Job("sooner", "\"priority\": 8")}, {Nights.Job("last", "\"priority\": 1, \"sockets\": [1]")}"));
        Assert.Equal(["sooner 0", "sooner 1", "later 0", "later 1", "last 1"], Order(setup));
    }

    [Fact]
    public void A_job_waits_for_those_that_it_comes_after_on_the_same_tube()
    {
        var setup = Nights.Setup(Nights.Text($"{Nights.Job("second", "\"after\": [\"first\"]")}, {Nights.Job("first")}"));
        Assert.Equal(["first 0", "second 0", "first 1", "second 1"], Order(setup));
    }

    [Fact]
    public void What_did_not_pass_leaves_out_what_depends_on_it_for_that_tube_alone()
    {
        var night = Night.Begin(Nights.Setup(Nights.Text($"{Nights.Job("first")}, {Nights.Job("second", "\"after\": [\"first\"], \"ifPassed\": true")}")));
        night = Do(night, new StepOutcome.Failed("emission is low"), out _);
        Assert.Equal(StepState.Skipped, night.StepOf(1, 0, 0)!.State);
        Assert.Contains("emission is low", night.StepOf(1, 0, 0)!.Verdict, StringComparison.Ordinal);
        Assert.Equal(StepState.Waiting, night.StepOf(1, 1, 0)!.State);
    }

    [Fact]
    public void A_tube_out_of_limits_is_left_alone_and_the_others_go_on()
    {
        var night = Night.Begin(Nights.Setup(Nights.Text($"{Nights.Job("first")}, {Nights.Job("second")}")));
        night = Do(night, new StepOutcome.TubeOut("grid current 9 mA"), out _);
        Assert.Equal(["first 1", "second 1"], Rest(night));
        Assert.All(night.Steps.Where(s => s.State == StepState.Skipped), s => Assert.Contains("grid current 9 mA", s.Verdict, StringComparison.Ordinal));
    }

    [Fact]
    public void A_step_that_said_nothing_is_begun_anew_later_and_later_and_given_up_in_the_end()
    {
        var night = Night.Begin(Nights.Setup(Nights.Text(Nights.Job("only", "\"sockets\": [0]"), """ "limits": { "attempts": 3 } """)));
        var at = TimeSpan.Zero;
        foreach (var seconds in new[] { 5, 10 })
        {
            night = night.With(new NightEvent.StepBegan(0), at).With(new NightEvent.StepEnded(0, new StepOutcome.Again("the cable was pulled"), 0), at);
            var wait = Assert.IsType<NightAct.Wait>(night.Next(at));
            Assert.Equal(TimeSpan.FromSeconds(seconds), wait.Until - at);
            Assert.False(wait.HeatersOff);
            at = wait.Until!.Value;
        }
        night = night.With(new NightEvent.StepBegan(0), at).With(new NightEvent.StepEnded(0, new StepOutcome.Again("the cable was pulled"), 0), at);
        Assert.Equal((StepState.Failed, "given up after 3 attempts: the cable was pulled"), (night.Steps[0].State, night.Steps[0].Verdict));
        Assert.True(night.IsOver);
    }

    [Fact]
    public void Repetitions_keep_their_distance_however_late_one_was()
    {
        var night = Night.Begin(Nights.Setup(Nights.Text(Nights.Job("often", """ "sockets": [0], "every": { "minutes": 30, "times": 4 } """))));
        var begins = new List<double>();
        var at = TimeSpan.Zero;
        while (night.Next(at) is var act and not NightAct.Over)
        {
            if (act is NightAct.Wait wait)
            {
                Assert.True(wait.HeatersOff);
                at = wait.Until!.Value;
                // The bench was away for an hour and a half.
                if (begins.Count == 2) at += TimeSpan.FromMinutes(90);
                continue;
            }
            begins.Add(at.TotalMinutes);
            night = night.With(new NightEvent.StepBegan(((NightAct.Begin)act).Step), at);
            at += TimeSpan.FromMinutes(1);
            night = night.With(new NightEvent.StepEnded(night.Running!.Index, new StepOutcome.Passed("well"), 0), at);
        }
        Assert.Equal([0, 30, 150, 180], begins);
    }

    [Fact]
    public void Nothing_is_begun_that_its_window_would_cut_short()
    {
        // A screening from cold takes more than four minutes.
        var night = Night.Begin(Nights.Setup(Nights.Text($"{Nights.Job("early", """ "window": { "from": "20:00", "to": "20:03" } """, "screen")}, {Nights.Job("late", """ "window": { "from": "23:00", "to": "23:30" }, "sockets": [1] """)}", "\"mayBeCutShort\": true")));
        Assert.All(night.Steps.Take(2), s => Assert.Equal((StepState.NotReached, Shortage.Time), (s.State, s.Short)));
        var wait = Assert.IsType<NightAct.Wait>(night.Next(TimeSpan.Zero));
        Assert.Equal((TimeSpan.FromHours(3), true), (wait.Until, wait.HeatersOff));
        Assert.IsType<NightAct.Begin>(night.Next(TimeSpan.FromHours(3)));
        night = night.With(new NightEvent.Tick(), TimeSpan.FromHours(3.6));
        Assert.True(night.IsOver);
        Assert.Equal(StepState.NotReached, night.Steps[2].State);
    }

    [Fact]
    public void A_screening_waits_for_a_cold_tube_with_the_heaters_off()
    {
        var night = Night.Begin(Nights.Setup(Nights.Text($"{Nights.Job("sweeps", "\"sockets\": [0]")}, {Nights.Job("screens", "\"sockets\": [1]", "screen")}")));
        Assert.Equal(new NightAct.Begin(0), night.Next(TimeSpan.Zero));
        var hot = TimeSpan.FromMinutes(1);
        night = night.With(new NightEvent.StepBegan(0), TimeSpan.Zero).With(new NightEvent.HeatersOn(), TimeSpan.Zero).With(new NightEvent.StepEnded(0, new StepOutcome.Passed("well"), 0), hot);
        Assert.True(Assert.IsType<NightAct.Wait>(night.Next(hot)).HeatersOff);
        night = night.With(new NightEvent.HeatersOff(), hot);
        Assert.Equal(hot + night.Setup.CoolAfter, Assert.IsType<NightAct.Wait>(night.Next(hot)).Until);
        Assert.Equal(new NightAct.Begin(1), night.Next(hot + night.Setup.CoolAfter));
        Assert.Equal(hot, night.HeaterTime(TimeSpan.FromHours(1)));
    }

    [Fact]
    public void Limits_of_heater_time_and_charge_are_never_passed()
    {
        var text = Nights.Text($"{Nights.Job("gentle")}, {Nights.Job("positive", plan: "\"far-positive-pentode\"")}", """ "permit": { "ceilingVolts": 24, "reason": "x" }, "limits": { "positiveMillicoulombs": 25 }, "mayBeCutShort": true """);
        var setup = Nights.Setup(text);
        var bound = setup.Jobs[1].NeedsAt(0).Coulombs;
        // By Ohm's law: the mean of 0 to 24 V over 120 of 190 steps, up and down, 4.7 kilohms, 3.28 ms a point.
        Assert.Equal(2 * 121 * 12 / 4_700.0 * 3.28e-3, bound, 0.05 * bound);
        var night = Night.Begin(setup with { Order = setup.Order with { Limits = setup.Order.Limits with { PositiveCoulombs = 1.5 * bound } } });
        while (night.Next(TimeSpan.Zero) is NightAct.Begin begin)
            night = night.With(new NightEvent.StepBegan(begin.Step), TimeSpan.Zero).With(new NightEvent.StepEnded(begin.Step, new StepOutcome.Passed("well"), night.NeedsOf(night.Steps[begin.Step]).Coulombs), TimeSpan.Zero);
        Assert.Equal([StepState.Passed, StepState.Passed, StepState.Passed, StepState.NotReached], night.Steps.Select(s => s.State));
        Assert.Equal(Shortage.Charge, night.Steps[3].Short);

        var brief = Nights.Setup(Nights.Text(Nights.Job("screens", "", "screen"), """ "limits": { "heaterHours": 0.1 }, "mayBeCutShort": true """));
        night = Do(Night.Begin(brief).With(new NightEvent.HeatersOn(), TimeSpan.Zero).With(new NightEvent.HeatersOff(), TimeSpan.FromMinutes(3)), null, out _);
        Assert.All(night.Steps, s => Assert.Equal(Shortage.HeaterTime, s.Short));
    }

    [Fact]
    public void Held_nothing_begins_until_it_is_freed_and_what_needs_a_person_stays()
    {
        var night = Night.Begin(Nights.Setup(Nights.Text(Nights.Job("a")))).With(new NightEvent.Held("the stop button was pressed", true), TimeSpan.Zero);
        Assert.IsType<NightAct.Wait>(night.Next(TimeSpan.Zero));
        night = night.With(new NightEvent.Held("the rig is away", false), TimeSpan.Zero);
        Assert.Equal("the stop button was pressed", night.HeldBecause);
        Assert.IsType<NightAct.Begin>(night.With(new NightEvent.Freed(), TimeSpan.Zero).Next(TimeSpan.Zero));
        // The night ends all the same.
        Assert.True(night.With(new NightEvent.Tick(), TimeSpan.FromHours(9)).IsOver);
    }

    [Fact]
    public void After_a_restart_what_was_done_stays_done_and_what_was_under_way_is_begun_anew()
    {
        var setup = Nights.Setup(Nights.Text($"{Nights.Job("a")}, {Nights.Job("b", """ "sockets": [0], "every": { "minutes": 30, "times": 2 } """)}"));
        var minute = TimeSpan.FromMinutes(1);
        var night = Do(Night.Begin(setup), new StepOutcome.Passed("well"), out _);
        night = Do(night, new StepOutcome.TubeOut("no"), out _);
        night = night.With(new NightEvent.StepBegan(2), 2 * minute).With(new NightEvent.RunBegan(2, Run), 2 * minute);
        var again = Night.Resume(setup, night.Steps, 5 * minute, 0.001, 2, night.Out, 10 * minute);
        Assert.Equal([StepState.Passed, StepState.Failed, StepState.Waiting, StepState.Waiting], again.Steps.Select(s => s.State));
        Assert.Equal((1, 2 * minute + TimeSpan.FromMinutes(30)), (again.Steps[2].Attempts, again.Steps[3].NotBefore));
        Assert.Equal([Run], again.Steps[2].Runs);
        Assert.Equal((5 * minute, 0.001, 2), (again.HeaterTime(20 * minute), again.Coulombs, again.Acknowledgements));
        Assert.Equal(new NightAct.Begin(2), again.Next(10 * minute));
    }

    [Fact]
    public void Whatever_happens_a_night_ends_every_step_is_told_of_and_no_limit_is_passed()
    {
        for (var seed = 0; seed < 200; seed++)
        {
            var random = new Random(seed);
            var setup = Nights.Setup(Nights.Text(string.Join(", ", Enumerable.Range(0, 8).Select(i => AnyJob(i, random))), """ "limits": { "heaterHours": 2 }, "mayBeCutShort": true """));
            var night = Night.Begin(setup);
            var at = TimeSpan.Zero;
            for (var turn = 0; !night.IsOver; turn++)
            {
                Assert.True(turn < 20_000, $"seed {seed}: the night does not end");
                at += TimeSpan.FromSeconds(60 * random.NextDouble());
                night = Something(night, at, random);
                Assert.True(night.Steps.Count(s => s.State == StepState.Running) <= 1);
            }
            Assert.All(night.Steps, s => Assert.True(s.IsOver && s.Verdict is { Length: > 0 }, $"seed {seed}"));
        }
    }

    private static string AnyJob(int place, Random random)
    {
        List<string> parts = [];
        // With a priority of its own a job might stand against the order.
        if (place == 0 || random.Next(2) == 0) parts.Add($"\"priority\": {random.Next(1, 10)}");
        else parts.Add($"\"after\": [\"j{random.Next(place)}\"], \"ifPassed\": {(random.Next(2) == 0 ? "true" : "false")}");
        if (random.Next(4) == 0) parts.Add(""" "every": { "minutes": 20, "times": 3 } """);
        if (random.Next(4) == 0) parts.Add(""" "window": { "from": "23:00", "to": "02:00" } """);
        return Nights.Job($"j{place}", string.Join(", ", parts), random.Next(3) == 0 ? "screen" : "sweep");
    }

    private static Night Something(Night night, TimeSpan at, Random random)
    {
        switch (random.Next(20))
        {
            case 0: return night.With(new NightEvent.Held("something", random.Next(2) == 0), at);
            case 1: return night.With(new NightEvent.HeatersOff(), at);
            case 2 or 3: return night.With(new NightEvent.Freed(), at);
            case 4 when random.Next(20) == 0: return night.With(new NightEvent.JobSkipped(random.Next(8), "a person said so"), at);
            default: break;
        }
        switch (night.Next(at))
        {
            case NightAct.Begin begin:
                Assert.True(night.NeedsOf(night.Steps[begin.Step]).Takes + at <= night.Setup.EndsAt);
                return night.With(new NightEvent.StepBegan(begin.Step), at).With(new NightEvent.HeatersOn(), at);
            case NightAct.Follow follow:
                StepOutcome outcome = random.Next(12) switch { 0 => new StepOutcome.Again("x"), 1 => new StepOutcome.Failed("x"), 2 when random.Next(6) == 0 => new StepOutcome.TubeOut("x"), _ => new StepOutcome.Passed("x") };
                return night.With(new NightEvent.StepEnded(follow.Step, outcome, 0), at);
            case NightAct.Wait { HeatersOff: true }:
                return night.With(new NightEvent.HeatersOff(), at);
            default:
                return night.With(new NightEvent.Tick(), at);
        }
    }

    private static Night Do(Night night, StepOutcome? outcome, out int step)
    {
        step = -1;
        if (outcome is null || night.Next(TimeSpan.Zero) is not NightAct.Begin begin) return night;
        step = begin.Step;
        return night.With(new NightEvent.StepBegan(step), TimeSpan.Zero).With(new NightEvent.StepEnded(step, outcome, 0), TimeSpan.Zero);
    }

    private static string[] Order(NightSetup setup) => Rest(Night.Begin(setup));

    private static string[] Rest(Night night)
    {
        var order = new List<string>();
        while (night.Next(TimeSpan.Zero) is NightAct.Begin)
        {
            night = Do(night, new StepOutcome.Passed("well"), out var step);
            order.Add($"{night.JobOf(night.Steps[step]).Name} {night.Steps[step].Socket}");
        }
        return [.. order];
    }
}
