using SweepRig.Domain.Interlocks;
using SweepRig.Domain.Runs;
using SweepRig.Domain.Watching;
using SweepRig.Sweeps.Queue;
using SweepRig.Sweeps.Running;

namespace SweepRig.Service.Tests.Nights;

public sealed class NightDeskTests
{
    [Fact]
    public async Task A_night_runs_to_its_end_and_is_on_record_with_what_was_predicted()
    {
        await using var bench = await DeskBench.StartAsync();
        var begun = await bench.BeginAsync(DeskBench.Document($"{DeskBench.Sweeps("first")}, {DeskBench.Sweeps("second", ", \"after\": [\"first\"], \"ifPassed\": true")}"));
        Assert.True(begun.IsAccepted, string.Join("\n", begun.Refusals));
        await bench.OverAsync();
        Assert.All(bench.Picture.Night!.Steps, s => Assert.Equal((StepState.Passed, 1, 1), (s.State, s.Attempts, s.Runs.Length)));
        Assert.Equal("all steps are done with", bench.Picture.OverBecause);
        var stored = (await bench.Nights.FindAsync(bench.Picture.Id, DeskBench.Cancel))!;
        Assert.True(stored.IsOver);
        var steps = await bench.Nights.StepsAsync(stored.Id, DeskBench.Cancel);
        Assert.Equal(["first SKUA-014 passed", "first SKUA-020 passed", "second SKUA-014 passed", "second SKUA-020 passed"], steps.Select(s => $"{s.Job} {s.Tube} {s.State}"));
        Assert.All(steps, s => Assert.StartsWith("conducts ", s.Verdict, StringComparison.Ordinal));
        Assert.Equal(4, bench.Picture.Forecast.Steps.Count);
        Assert.Null(await bench.Nights.UnderWayAsync("rig-1", DeskBench.Cancel));
        Assert.Equal(["attended False", "attended True"], bench.Runner.Asked.Where(a => a.StartsWith("attended", StringComparison.Ordinal)));
    }

    [Fact]
    public async Task A_killed_process_is_followed_by_one_that_begins_the_step_anew()
    {
        await using var bench = await DeskBench.StartAsync();
        bench.Ends = run => run == 2 ? null : (RunState.Complete, null);
        await bench.BeginAsync(DeskBench.Document(DeskBench.Sweeps("sweeps", ", \"every\": { \"minutes\": 10, \"times\": 2 }")));
        await bench.UntilAsync("the second run", () => bench.Runner.Asked.Count(a => a.StartsWith("start", StringComparison.Ordinal)) == 2);
        await bench.UntilAsync("its step", () => bench.Picture.Night!.Running is { Socket: 1 });
        var id = bench.Picture.Id;
        Assert.Equal("running", (await bench.Nights.StepsAsync(id, DeskBench.Cancel))[1].State);

        await bench.RestartAsync();
        await bench.UntilAsync("the step to be done", () => bench.Desk.Picture?.Night?.Steps[1].IsOver == true);
        await bench.PassAsync(TimeSpan.FromMinutes(9.8));
        await bench.OverAsync();

        Assert.Equal((id, 1), (bench.Picture.Id, bench.Picture.TakenUp));
        Assert.Equal([1, 2, 1, 1], bench.Picture.Night!.Steps.Select(s => s.Attempts));
        Assert.All(bench.Picture.Night.Steps, s => Assert.Equal(StepState.Passed, s.State));
        var attempts = (await bench.Nights.StepsAsync(id, DeskBench.Cancel)).Where(s => s.Step == 1).ToArray();
        Assert.Equal(["again", "passed"], attempts.Select(a => a.State));
        // Ten minutes apart, whatever happened in between.
        var begins = bench.Picture.Night.Steps.Where(s => s.Socket == 0).Select(s => s.BeganAt!.Value).ToArray();
        Assert.InRange((begins[1] - begins[0]).TotalMinutes, 10, 10.1);
    }

    [Fact]
    public async Task A_night_that_says_so_waits_for_a_person_after_a_restart()
    {
        await using var bench = await DeskBench.StartAsync();
        bench.Ends = _ => null;
        await bench.BeginAsync(DeskBench.Document(DeskBench.Sweeps("sweeps", ", \"sockets\": [0]"), ", \"goesOnAfterRestart\": false"));
        await bench.UntilAsync("a run", () => bench.Runner.Asked.Any(a => a.StartsWith("start", StringComparison.Ordinal)));
        await bench.RestartAsync();
        bench.Ends = _ => (RunState.Complete, null);
        await bench.UntilAsync("it to be seen", () => bench.Desk.Picture is { Night: null } waiting && waiting.Doing.Contains("does not go on by itself", StringComparison.Ordinal));
        await bench.PassAsync(TimeSpan.FromMinutes(5));
        Assert.Single(bench.Runner.Asked, a => a.StartsWith("start", StringComparison.Ordinal));
        Assert.True((await bench.Desk.GoOnAsync(DeskBench.Cancel)).IsAccepted);
        await bench.OverAsync();
        Assert.Equal(StepState.Passed, bench.Picture.Night!.Steps[0].State);
    }

    [Fact]
    public async Task A_trip_of_the_tube_leaves_it_alone_and_is_released_by_the_nights_own_rule()
    {
        await using var bench = await DeskBench.StartAsync();
        bench.Ends = run => run == 1 ? (RunState.Tripped, Trip(TripCause.GridCurrent)) : (RunState.Complete, null);
        await bench.BeginAsync(DeskBench.Document($"{DeskBench.Sweeps("first")}, {DeskBench.Sweeps("second")}"));
        await bench.OverAsync();
        Assert.Equal([StepState.Failed, StepState.Passed, StepState.Skipped, StepState.Passed], bench.Picture.Night!.Steps.Select(s => s.State));
        Assert.Equal(1, bench.Picture.Night.Acknowledgements);
        Assert.Single(bench.Runner.Asked, "acknowledge");
        Assert.StartsWith("tripped: Too much grid current, 9 mA, limit 8 mA", bench.Picture.Night.Out[0], StringComparison.Ordinal);
        Assert.Equal([EventKind.NightBegun, EventKind.JobGivenUp, EventKind.TubeSkipped, EventKind.NightEnded], bench.Watch.Events.Select(e => e.Kind));
        Assert.All(bench.Watch.Events, e => Assert.Equal("rig-1", e.Rig));
        Assert.Contains("of 4 steps 2 passed, 1 failed, 1 were left out, 0 were not reached", bench.Watch.Events[^1].Text, StringComparison.Ordinal);
    }

    [Fact]
    public async Task The_stop_button_is_never_released_by_a_night()
    {
        await using var bench = await DeskBench.StartAsync();
        bench.Ends = run => run == 1 ? (RunState.Tripped, Trip(TripCause.EmergencyStop)) : (RunState.Complete, null);
        await bench.BeginAsync(DeskBench.Document(DeskBench.Sweeps("sweeps")));
        await bench.UntilAsync("it to be held", () => bench.Picture.Night!.NeedsPerson);
        await bench.PassAsync(TimeSpan.FromHours(1));
        Assert.DoesNotContain("acknowledge", bench.Runner.Asked);
        Assert.Equal(EventSeverity.Alarm, Assert.Single(bench.Watch.Events, e => e.Kind == EventKind.NightLate).Severity);
        Assert.Equal("bench-tripped", Assert.Single((await bench.Desk.GoOnAsync(DeskBench.Cancel)).Refusals).Code);

        // Not by a restart either.
        await bench.RestartAsync();
        await bench.UntilAsync("it to be taken up", () => bench.Desk.Picture is { Night: not null });
        Assert.Contains("stop button", bench.Picture.Night!.HeldBecause, StringComparison.Ordinal);

        await bench.Runner.AcknowledgeAsync(DeskBench.Cancel);
        await bench.PassAsync(TimeSpan.FromMinutes(10));
        Assert.True(bench.Picture.Night!.NeedsPerson);
        Assert.True((await bench.Desk.GoOnAsync(DeskBench.Cancel)).IsAccepted);
        await bench.OverAsync();
        Assert.All(bench.Picture.Night!.Steps, s => Assert.Equal(StepState.Passed, s.State));
    }

    [Fact]
    public async Task Trips_are_released_as_often_as_the_night_states_and_no_more()
    {
        await using var bench = await DeskBench.StartAsync();
        bench.Ends = _ => (RunState.Tripped, Trip(TripCause.LeaseExpired));
        await bench.BeginAsync(DeskBench.Document(DeskBench.Sweeps("sweeps", ", \"sockets\": [0]"), ", \"limits\": { \"acknowledgements\": 2, \"attempts\": 9 }"));
        await bench.UntilAsync("it to be held", () => bench.Picture.Night!.NeedsPerson);
        Assert.Equal((2, 3), (bench.Picture.Night!.Acknowledgements, bench.Picture.Night.Steps[0].Attempts));
        Assert.Contains("released 2 trips, which is its limit", bench.Picture.Night.HeldBecause, StringComparison.Ordinal);
    }

    [Fact]
    public async Task A_rig_that_is_gone_is_waited_for()
    {
        await using var bench = await DeskBench.StartAsync();
        bench.Ends = run => run == 1 ? (RunState.Incomplete, null) : (RunState.Complete, null);
        await bench.BeginAsync(DeskBench.Document(DeskBench.Sweeps("sweeps")));
        await bench.UntilAsync("the first run to be cut short", () => bench.Picture.Night!.Steps[0].Verdict is not null);
        bench.Runner.State = bench.Runner.State with { Link = RigLinkState.Lost, LinkFault = "the port vanished" };
        await bench.UntilAsync("it to be held", () => bench.Picture.Night!.HeldBecause is not null);
        Assert.Contains("is not connected: the port vanished", bench.Picture.Night!.HeldBecause, StringComparison.Ordinal);
        Assert.False(bench.Picture.Night.NeedsPerson);
        // Another rig in its place is not driven.
        bench.Runner.State = bench.Connected with { Identity = Support.Examples.Rig with { SerialNumber = "SIM-0099" } };
        await bench.UntilAsync("it to be seen", () => bench.Picture.Night!.HeldBecause!.Contains("another rig answers: SIM-0099", StringComparison.Ordinal));
        bench.Runner.State = bench.Connected;
        await bench.OverAsync();
        Assert.All(bench.Picture.Night!.Steps, s => Assert.Equal(StepState.Passed, s.State));
    }

    [Fact]
    public async Task A_permit_is_granted_for_the_step_that_needs_it_and_ended_with_it()
    {
        await using var bench = await DeskBench.StartAsync();
        await bench.BeginAsync(DeskBench.Document(
            $"{DeskBench.Sweeps("gentle", ", \"sockets\": [0], \"priority\": 9")}, {DeskBench.Sweeps("far", ", \"sockets\": [0]", "far-positive-pentode")}", ", \"permit\": { \"ceilingVolts\": 24, \"reason\": \"fold-back\" }"));
        await bench.OverAsync();
        var asked = bench.Runner.Asked.Where(a => !a.StartsWith("heater", StringComparison.Ordinal) && !a.StartsWith("attended", StringComparison.Ordinal)).ToArray();
        Assert.Equal(4, asked.Length);
        Assert.StartsWith("start Gentle look", asked[0], StringComparison.Ordinal);
        // The drive of the step, not the ceiling of the night.
        Assert.StartsWith("permit 24 ", asked[1], StringComparison.Ordinal);
        Assert.EndsWith("night Skua, far on SKUA-014: fold-back", asked[1], StringComparison.Ordinal);
        Assert.Equal("end permit", asked[3]);
    }

    [Fact]
    public async Task A_hand_on_the_clock_of_the_computer_moves_no_step()
    {
        await using var bench = await DeskBench.StartAsync();
        await bench.BeginAsync(DeskBench.Document(DeskBench.Sweeps("sweeps", ", \"sockets\": [0], \"every\": { \"minutes\": 30, \"times\": 3 }")));
        await bench.UntilAsync("the first turn", () => bench.Picture.Night!.Steps[0].IsOver);
        bench.Skew = TimeSpan.FromHours(11);
        await bench.PassAsync(TimeSpan.FromMinutes(29));
        await bench.UntilAsync("the second turn", () => bench.Picture.Night!.Steps[1].IsOver);
        bench.Skew = TimeSpan.FromHours(-13);
        await bench.PassAsync(TimeSpan.FromMinutes(29));
        await bench.OverAsync();
        var begins = bench.Picture.Night!.Steps.Select(s => s.BeganAt!.Value.TotalMinutes).ToArray();
        Assert.All(bench.Picture.Night.Steps, s => Assert.Equal(StepState.Passed, s.State));
        Assert.InRange(begins[1] - begins[0], 30, 30.1);
        Assert.InRange(begins[2] - begins[1], 30, 30.1);
    }

    [Fact]
    public async Task People_hold_it_let_it_go_on_skip_a_job_and_end_it()
    {
        await using var bench = await DeskBench.StartAsync();
        Assert.Equal("no-night", Assert.Single((await bench.Desk.HoldAsync("why", DeskBench.Cancel)).Refusals).Code);
        bench.Ends = run => run == 1 ? null : (RunState.Complete, null);
        await bench.BeginAsync(DeskBench.Document($"{DeskBench.Sweeps("first", ", \"sockets\": [0]")}, {DeskBench.Sweeps("second")}, {DeskBench.Sweeps("third")}"));
        Assert.Equal("night-under-way", Assert.Single((await bench.BeginAsync(DeskBench.Document(DeskBench.Sweeps("other")))).Refusals).Code);
        Assert.Equal("job-unknown", Assert.Single((await bench.Desk.SkipAsync("fourth", DeskBench.Cancel)).Refusals).Code);
        Assert.True((await bench.Desk.SkipAsync("second", DeskBench.Cancel)).IsAccepted);
        Assert.Equal("night-not-held", Assert.Single((await bench.Desk.GoOnAsync(DeskBench.Cancel)).Refusals).Code);
        Assert.True((await bench.Desk.EndAsync(DeskBench.Cancel)).IsAccepted);
        await bench.OverAsync();
        Assert.Equal([StepState.NotReached, StepState.Skipped, StepState.Skipped, StepState.NotReached, StepState.NotReached], bench.Picture.Night!.Steps.Select(s => s.State));
        Assert.Contains("stop", bench.Runner.Asked);

        bench.Ends = _ => (RunState.Complete, null);
        Assert.True((await bench.BeginAsync(DeskBench.Document(DeskBench.Sweeps("again", ", \"window\": { \"from\": \"21:00\", \"to\": \"23:00\" }")))).IsAccepted);
        Assert.True((await bench.Desk.HoldAsync("somebody works there", DeskBench.Cancel)).IsAccepted);
        await bench.PassAsync(TimeSpan.FromMinutes(65));
        Assert.Contains("somebody works there", bench.Picture.Night!.HeldBecause, StringComparison.Ordinal);
        Assert.True((await bench.Desk.GoOnAsync(DeskBench.Cancel)).IsAccepted);
        await bench.OverAsync();
        Assert.All(bench.Picture.Night!.Steps, s => Assert.Equal(StepState.Passed, s.State));
    }

    private static Trip Trip(TripCause cause) => new(cause, true, "9 mA", "8 mA", DateTimeOffset.UnixEpoch, null);
}
