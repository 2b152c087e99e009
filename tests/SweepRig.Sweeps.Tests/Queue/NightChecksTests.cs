using System.Text.Json.Nodes;
using SweepRig.Sweeps.Queue;

namespace SweepRig.Sweeps.Tests.Queue;

public sealed class NightChecksTests
{
    [Fact]
    public void A_queue_longer_than_the_night_is_refused_with_by_how_much_and_what_is_missing()
    {
        var text = Nights.Text(Nights.Job("long", "\"minutes\": 300, \"everyMinutes\": 30", "soak"));
        var fault = Assert.Single(Nights.Check(text).Refusals);
        Assert.Equal("night-too-short", fault.Code);
        // 9 h hold one soak of 5 h on one of the two tubes.
        Assert.Contains("1 of them would not be reached, which take 5 h 1 min more than the night has: long on SKUA-020", fault.Allowed, StringComparison.Ordinal);
        Assert.True(Nights.Check(Nights.Set(text, "/mayBeCutShort", true)).IsAccepted);
    }

    [Fact]
    public void A_socket_that_the_rig_has_not_is_refused() =>
        Assert.Equal("/sockets/1/socket", Assert.Single(Nights.Check(Nights.Set(Nights.Text(Nights.Job("a")), "/sockets/1/socket", 7)).Refusals, r => r.Code == "socket-absent").Path);

    [Fact]
    public void What_the_type_does_not_bear_is_refused_for_each_job()
    {
        var plan = JsonNode.Parse(SweepRig.Domain.Plans.PlanDocument.Write(SweepRig.Domain.Plans.PlanExamples.GentlePentode.Plan))!;
        plan["connection"]!["heaterVolts"] = 12.6;
        var fault = Assert.Single(Nights.Check(Nights.Text(Nights.Job("hot", plan: plan.ToJsonString()))).Refusals);
        Assert.Equal(("heater-mismatch", "/jobs/0/plan/connection/heaterVolts"), (fault.Code, fault.Path));
        Assert.Contains("job hot, SKUA-014 and SKUA-020", fault.Asked, StringComparison.Ordinal);
    }

    [Fact]
    public void A_heater_voltage_that_would_burn_out_the_tube_beside_it_is_refused()
    {
        var plan = JsonNode.Parse(SweepRig.Domain.Plans.PlanDocument.Write(SweepRig.Domain.Plans.PlanExamples.GentlePentode.Plan))!;
        plan["connection"]!["heaterVolts"] = 12.6;
        plan["connection"]!["kind"] = "triode";
        const string sockets = """[{ "socket": 0, "tube": "TERN-003/1", "type": "12AU7" }, { "socket": 1, "tube": "SKUA-020", "type": "6AU6" }]""";
        var fault = Assert.Single(Nights.Check(Nights.Text(Nights.Job("triodes", "\"sockets\": [0]", plan: plan.ToJsonString()), sockets: sockets)).Refusals);
        Assert.Equal("heater-of-another", fault.Code);
        Assert.Contains("SKUA-020", fault.Allowed, StringComparison.Ordinal);
    }

    [Fact]
    public void A_lot_of_which_no_tube_is_in_a_socket_is_refused() =>
        Assert.Equal("no-tube-for-job", Assert.Single(Nights.Check(Nights.Text(Nights.Job("a", "\"lot\": \"Gannet\""))).Refusals).Code);

    [Fact]
    public void A_window_of_a_job_that_clocks_leave_out_is_told_of_its_steps()
    {
        var text = Nights.Text(Nights.Job("a", """ "window": { "from": "02:00", "to": "03:00" } """), window: """{ "from": "21:00", "to": "06:00" }""", zone: "Europe/Oslo");
        var before = new DateTimeOffset(2026, 3, 28, 19, 0, 0, TimeSpan.Zero);
        var fault = Assert.Single(Nights.Check(text, before).Refusals);
        Assert.Contains("its window 02:00 to 03:00 does not come in this night", fault.Allowed, StringComparison.Ordinal);
        Assert.True(Nights.Check(text, before.AddDays(1)).IsAccepted);
    }

    [Fact]
    public void A_night_over_the_end_of_summer_time_has_an_hour_more()
    {
        var text = Nights.Text(Nights.Job("a"), window: """{ "from": "21:00", "to": "06:00" }""", zone: "Europe/Oslo");
        Assert.Equal(TimeSpan.FromHours(10), Length(Nights.Setup(text, new DateTimeOffset(2026, 10, 24, 18, 0, 0, TimeSpan.Zero))));
        Assert.Equal(TimeSpan.FromHours(8), Length(Nights.Setup(text, new DateTimeOffset(2026, 3, 28, 18, 0, 0, TimeSpan.Zero))));
        Assert.Equal(TimeSpan.FromHours(9), Length(Nights.Setup(text, new DateTimeOffset(2026, 11, 26, 18, 0, 0, TimeSpan.Zero))));

        static TimeSpan Length(NightSetup setup) => setup.EndsAt - setup.Open[0].Opens;
    }

    [Fact]
    public void The_forecast_tells_times_heater_and_loads()
    {
        var setup = Nights.Setup(Nights.Text($"{Nights.Job("screens", "", "screen")}, {Nights.Job("hourly", """ "sockets": [0], "after": ["screens"], "every": { "minutes": 60, "times": 3 } """)}"));
        var forecast = NightForecast.Of(setup);
        Assert.Equal(["screens", "screens", "hourly", "hourly", "hourly"], forecast.Steps.Select(s => setup.Jobs[Night.Begin(setup).Steps[s.Step].Job].Job.Name));
        Assert.All(forecast.Steps, s => Assert.True(s.Begins <= s.Measures && s.Measures < s.Ends));
        // Two heaters of 0.3 A at 6.3 V (catalogue row of the 6AU6).
        Assert.Equal(0.6, forecast.HeaterAmps!.Value, 9);
        Assert.Equal(3.78, forecast.HeaterWatts!.Value, 9);
        // 28 V over 10 kilohms and over 100 ohms is more than the interlock lets through.
        Assert.Equal(Math.Min(28 / 10_000.0 + 28 / 100.0, Support.Samples.Rig.HardLimits.CathodeCurrent.Value), forecast.RailAmps, 9);
        var sweeps = forecast.Steps.Where(s => s.Step >= 2).ToArray();
        Assert.Equal(TimeSpan.FromMinutes(60), sweeps[1].Begins - sweeps[0].Begins);
        // Over an hour's wait the heaters rest.
        Assert.True(forecast.HeaterTime < TimeSpan.FromMinutes(35), $"{forecast.HeaterTime}");
        Assert.Empty(forecast.NotReached);
    }

    [Fact]
    public void A_night_of_four_thousand_steps_is_planned_in_seconds()
    {
        // Were each event to look at every step anew, this would take minutes, and the suite would show it.
        var jobs = string.Join(", ", Enumerable.Range(0, 10).Select(i => Nights.Job($"j{i}", """ "every": { "minutes": 0.1, "times": 200 } """, plan: """ "gentle-pentode" """)));
        var setup = Nights.Setup(Nights.Text(jobs, "\"mayBeCutShort\": true, \"limits\": { \"heaterHours\": 8 }"));
        var forecast = NightForecast.Of(setup);
        Assert.Equal(4_000, forecast.Steps.Count + forecast.NotReached.Count);
        Assert.True(forecast.Steps.Count > 3_900, $"{forecast.Steps.Count} steps");
    }
}
