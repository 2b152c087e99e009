using SweepRig.Domain.Interlocks;
using SweepRig.Domain.Runs;
using SweepRig.Rigs;
using SweepRig.Sweeps.Running;
using SweepRig.Sweeps.Tests.Support;

namespace SweepRig.Sweeps.Tests.Running;

public sealed class TripTests
{
    [Fact]
    public async Task On_a_trip_the_rig_is_safe_first_then_it_is_recorded_then_shown()
    {
        await using var bench = await TestBench.PermittedAsync();
        var header = await bench.StartAndHoldAsync(Samples.FarPositive);
        bench.Rig.SafeGate = new();
        // The last frame is far positive; a grid pin held at -20 V then takes over 9 mA through the stopper.
        bench.Rig.GridAt = drive => drive > 20 ? -20 : drive;
        bench.Rig.SendFrame(9);
        await bench.UntilAsync(_ => bench.Journal.Contains("rig safe asked"), TimeSpan.Zero);
        bench.Rig.SendFrame(0);
        await bench.SettleAsync();
        // Until the rig has answered, nothing is written and nothing is shown.
        Assert.DoesNotContain("record append", bench.Journal);
        Assert.DoesNotContain("record trip", bench.Journal);
        Assert.Null(bench.Runner.State.Trip);

        bench.Rig.SafeGate.SetResult();
        bench.Rig.SafeGate = null;
        Assert.Equal(RunState.Tripped, await bench.EndAsync(header));
        await bench.UntilAsync(_ => bench.Journal.Contains("show RunEnded"));
        var journal = bench.Journal.ToList();
        AssertInOrder(journal, "rig safe asked", "rig safe", "record append", "record trip", "show trip HostGridCurrent", "show RunEnded");
        Assert.True(journal.IndexOf("record end Tripped") < journal.IndexOf("show RunEnded"));
        // What the interlock fired on is on record all the same.
        Assert.Equal(3 + 4, bench.Recording.Blocks.Sum(b => b.Count));
        var trip = Assert.Single(bench.Recording.Trips);
        Assert.Equal(TripCause.HostGridCurrent, trip.Cause);
        Assert.StartsWith("grid current", trip.Measured, StringComparison.Ordinal);
        Assert.Equal("8 mA", trip.Limit);
    }

    [Fact]
    public async Task Of_two_pictures_of_the_bench_the_newer_has_the_higher_number()
    {
        await using var bench = await TestBench.ConnectedAsync();
        Assert.True((await bench.Runner.MakeSafeAsync("asked for", default)).IsAccepted);
        await bench.UntilAsync(state => state.TripCauseGone);
        Assert.True((await bench.AcknowledgeAsync()).IsAccepted);
        var versions = bench.Shown.OfType<LiveUpdate.State>().Select(s => s.Bench.Version).ToList();
        Assert.True(versions.Count > 2);
        Assert.Equal(versions.Distinct().Order(), versions);
    }

    /// <summary>Where a run stands when something goes wrong.</summary>
    public static TheoryData<string, string> PhasesAndFaults
    {
        get
        {
            var data = new TheoryData<string, string>();
            foreach (var phase in new[] { "warming", "settling", "sweeping", "again" })
                foreach (var fault in new[] { "safe", "rig trip", "cable", "restart", "permit" })
                    data.Add(phase, fault);
            return data;
        }
    }

    [Theory]
    [MemberData(nameof(PhasesAndFaults))]
    public async Task A_fault_in_any_phase_ends_safe_recorded_and_shown(string phase, string fault)
    {
        await using var bench = await TestBench.PermittedAsync();
        bench.Rig.RunsByItself = phase == "again";
        // In the phase "again" the first program loses a frame, and the second is held.
        bench.Rig.Loses = (program, frame) => program == 1 && frame == 2;
        bench.Rig.Answers = what =>
        {
            if (phase == "again" && what == "run 0" && bench.Rig.ProgramsRun == 1) bench.Rig.RunsByItself = false;
            return null;
        };
        var railCameUp = phase != "settling";
        bench.Rig.RailAt = volts => railCameUp ? volts : volts / 2;

        var header = await bench.StartAsync(Samples.FarPositive);
        await bench.UntilAsync(s => phase switch
        {
            "warming" => s.Run?.Phase == RunPhase.Warming && bench.Rig.Supplies.Heater,
            "settling" => bench.Rig.Supplies.PlateRail,
            "sweeping" => bench.Rig.Program is not null,
            _ => bench.Rig.ProgramsRun == 2,
        });
        var cause = Cause(fault, bench);
        Assert.Equal(RunState.Tripped, await bench.EndAsync(header));

        Assert.Equal(cause, Assert.Single(bench.Recording.Trips).Cause);
        Assert.Equal(cause, bench.Runner.State.Trip!.Cause);
        Assert.Equal(RunState.Tripped, bench.Recording.State);
        Assert.Null(bench.Runner.State.Run);
        if (fault != "cable")
        {
            Assert.False(bench.Rig.Supplies.PlateRail);
            Assert.Null(bench.Rig.Program);
        }
        await bench.UntilAsync(_ => bench.Journal.Contains("show RunEnded"));
        AssertInOrder([.. bench.Journal], "rig safe asked", "record trip", $"show trip {cause}");
    }

    private static TripCause Cause(string fault, TestBench bench)
    {
        switch (fault)
        {
            case "safe":
                _ = bench.Runner.MakeSafeAsync("a smell of burning", default);
                return TripCause.HostOrder;
            case "rig trip":
                bench.Rig.Trip(TripCause.GridCurrent);
                return TripCause.GridCurrent;
            case "cable":
                bench.Rig.PullCable();
                return TripCause.LinkLost;
            case "restart":
                bench.Rig.Restart();
                return TripCause.RigRestarted;
            default:
                _ = bench.Runner.EndPermitAsync(default);
                return TripCause.PermitEnded;
        }
    }

    [Fact]
    public async Task A_pulled_cable_keeps_what_was_recorded()
    {
        await using var bench = await TestBench.ConnectedAsync();
        var header = await bench.StartAndHoldAsync(Samples.Gentle);
        bench.Rig.SendFrame(0);
        bench.Rig.SendFrame(1);
        await bench.UntilAsync(s => s.Run?.PointsDone == 8);
        bench.Rig.PullCable();
        Assert.Equal(RunState.Tripped, await bench.EndAsync(header));
        Assert.Equal(8, bench.Recording.Blocks.Sum(b => b.Count));
        Assert.Equal(RigLinkState.Lost, bench.Runner.State.Link);
        Assert.Contains("check the cable", bench.Runner.State.LinkFault, StringComparison.Ordinal);
        Assert.False(bench.Runner.State.TripCauseGone);
        Assert.Equal("cause-remains", (await bench.AcknowledgeAsync()).Refusals[0].Code);

        bench.Rig.PlugIn();
        await bench.UntilAsync(s => s.TripCauseGone);
        Assert.Equal("tripped", (await bench.Runner.StartAsync(Samples.Request(Samples.Gentle), default)).Refusals[0].Code);
        Assert.True((await bench.AcknowledgeAsync()).IsAccepted);
        Assert.Null(bench.Runner.State.Trip);
    }

    [Fact]
    public async Task A_link_that_comes_back_while_the_rig_still_drives_orders_safe_anew()
    {
        await using var bench = await TestBench.ConnectedAsync();
        var header = await bench.StartAndHoldAsync(Samples.Gentle);
        bench.Rig.PullCable();
        Assert.Equal(RunState.Tripped, await bench.EndAsync(header));
        // Back within the lease: the program still runs and the rail is on.
        Assert.NotNull(bench.Rig.Program);
        Assert.True(bench.Rig.Supplies.PlateRail);
        bench.Rig.Reachable = true;
        bench.Rig.Connect();
        await bench.UntilAsync(s => s.TripCauseGone);
        Assert.Null(bench.Rig.Program);
        Assert.False(bench.Rig.Supplies.PlateRail);
    }

    [Fact]
    public async Task A_program_left_by_an_earlier_session_is_ended_and_tells_so()
    {
        await using var bench = await TestBench.ConnectedAsync();
        await bench.Runner.SetHeaterAsync(true, new(6.3), default);
        bench.Rig.RunsByItself = false;
        await bench.Rig.RunAsync(new(0, [new(0, 100, 8, 0)], 31, 200, new(100, 1, 0, 0, 0, 0), RigWiring.Of(Samples.Gentle.Connection)), default);
        await bench.UntilAsync(s => s.TripCauseGone);
        Assert.Equal(TripCause.HostOrder, bench.Runner.State.Trip!.Cause);
        Assert.Contains("no sweep of this session", bench.Runner.State.Trip.Measured, StringComparison.Ordinal);
        Assert.Null(bench.Rig.Program);
    }

    [Fact]
    public async Task A_rail_that_does_not_come_up_trips()
    {
        await using var bench = await TestBench.ConnectedAsync();
        bench.Rig.RailAt = _ => 3;
        Assert.Equal(RunState.Tripped, await bench.EndAsync(await bench.StartAsync(Samples.Gentle)));
        var trip = Assert.Single(bench.Recording.Trips);
        Assert.Equal((TripCause.HostSupplyRange, "plate rail 3 V"), (trip.Cause, trip.Measured));
        Assert.Equal(0, bench.Rig.ProgramsRun);
    }

    [Fact]
    public async Task A_rail_that_goes_after_it_had_settled_trips()
    {
        await using var bench = await TestBench.ConnectedAsync();
        var header = await bench.StartAndHoldAsync(Samples.Gentle);
        bench.Rig.RailAt = _ => 0;
        bench.Rig.SendFrame(0);
        Assert.Equal(RunState.Tripped, await bench.EndAsync(header));
        var trip = Assert.Single(bench.Recording.Trips);
        Assert.Equal((TripCause.HostSupplyRange, "plate rail 0 V"), (trip.Cause, trip.Measured));
        Assert.False(bench.Rig.Supplies.PlateRail);
    }

    [Theory]
    [InlineData("supplies heater on rail off")]
    [InlineData("supplies heater on rail on")]
    [InlineData("run 0")]
    [InlineData("release")]
    public async Task A_rig_that_refuses_a_step_is_made_safe(string step)
    {
        await using var bench = await TestBench.ConnectedAsync();
        bench.Rig.Answers = what => what == step ? new RigReply(false, "out-of-range", "the heater is 6.3 V, allowed is 5 V") : null;
        Assert.Equal(RunState.Tripped, await bench.EndAsync(await bench.StartAsync(Samples.Gentle)));
        var trip = Assert.Single(bench.Recording.Trips);
        Assert.Equal(TripCause.HostOrder, trip.Cause);
        Assert.Contains("allowed is 5 V", trip.Measured, StringComparison.Ordinal);
    }

    [Fact]
    public async Task A_rig_that_trips_by_itself_names_its_own_cause_though_its_pass_ended_first()
    {
        await using var bench = await TestBench.ConnectedAsync();
        var header = await bench.StartAndHoldAsync(Samples.Gentle);
        bench.Rig.Trip(TripCause.CathodeCurrent);
        Assert.Equal(RunState.Tripped, await bench.EndAsync(header));
        var trip = Assert.Single(bench.Recording.Trips);
        Assert.Equal((TripCause.CathodeCurrent, true, "9 mA"), (trip.Cause, trip.ByRig, trip.Measured));
    }

    [Fact]
    public async Task A_latch_found_fired_counts_as_a_trip()
    {
        await using var bench = await TestBench.ConnectedAsync();
        bench.Rig.Cause = TripCause.LeaseExpired;
        await bench.UntilAsync(s => s.Trip is not null);
        Assert.Equal(TripCause.LeaseExpired, bench.Runner.State.Trip!.Cause);
        await bench.UntilAsync(s => s.TripCauseGone);
        Assert.True((await bench.AcknowledgeAsync()).IsAccepted);
        Assert.False(bench.Rig.Latched);
    }

    [Fact]
    public async Task The_latch_that_a_rig_starts_with_is_no_trip_and_heater_on_releases_it()
    {
        await using var bench = await TestBench.ConnectedAsync();
        await bench.UntilAsync(s => !double.IsNaN(s.SupplyVolts));
        Assert.Null(bench.Runner.State.Trip);
        Assert.True((await bench.Runner.SetHeaterAsync(true, new(6.3), default)).IsAccepted);
        Assert.False(bench.Rig.Latched);
        Assert.True(bench.Rig.Supplies.Heater);
        await bench.UntilAsync(s => s.Heater.Warm);
        Assert.True((await bench.Runner.SetHeaterAsync(false, new(6.3), default)).IsAccepted);
        Assert.False(bench.Rig.Supplies.Heater);
        Assert.Equal("heater-out-of-range", (await bench.Runner.SetHeaterAsync(true, new(61), default)).Refusals[0].Code);
    }

    [Fact]
    public async Task Make_safe_works_again_and_again_and_switches_the_heater_off()
    {
        await using var bench = await TestBench.ConnectedAsync();
        await bench.Runner.SetHeaterAsync(true, new(6.3), default);
        for (var i = 0; i < 3; i++)
        {
            Assert.True((await bench.Runner.MakeSafeAsync($"time {i}", default)).IsAccepted);
            Assert.Equal("time 0", bench.Runner.State.Trip!.Measured);
            Assert.False(bench.Rig.Supplies.Heater);
        }
    }

    [Fact]
    public async Task Make_safe_that_the_rig_does_not_confirm_says_so()
    {
        await using var bench = await TestBench.ConnectedAsync();
        bench.Rig.Reachable = false;
        var refusal = Assert.Single((await bench.Runner.MakeSafeAsync("now", default)).Refusals);
        Assert.Equal("safe-not-confirmed", refusal.Code);
        Assert.Equal(TripCause.HostOrder, bench.Runner.State.Trip!.Cause);
    }

    [Fact]
    public async Task An_acknowledgement_is_refused_while_the_cause_remains_and_is_not_kept()
    {
        await using var bench = await TestBench.ConnectedAsync();
        await bench.Runner.SetHeaterAsync(true, new(6.3), default);
        bench.Rig.CausesPresent = true;
        bench.Rig.Trip(TripCause.EmergencyStop);
        await bench.UntilAsync(s => s.Trip is not null);
        var early = bench.Runner.AcknowledgeAsync(default);
        await bench.UntilAsync(_ => early.IsCompleted);
        Assert.Equal("cause-remains", (await early).Refusals[0].Code);
        bench.Rig.CausesPresent = false;
        await bench.UntilAsync(s => s.TripCauseGone);
        // The button pressed too early does nothing now.
        for (var i = 0; i < 5; i++)
        {
            bench.Time.Advance(TimeSpan.FromMilliseconds(100));
            bench.Rig.Status();
            await bench.SettleAsync();
        }
        Assert.NotNull(bench.Runner.State.Trip);
        Assert.True(bench.Rig.Latched);
        Assert.True((await bench.AcknowledgeAsync()).IsAccepted);
        Assert.Equal("not-tripped", (await bench.AcknowledgeAsync()).Refusals[0].Code);
    }

    [Fact]
    public async Task An_acknowledgement_right_after_the_trip_waits_for_the_rigs_word()
    {
        await using var bench = await TestBench.ConnectedAsync();
        await bench.Runner.MakeSafeAsync("try", default);
        var acknowledged = bench.Runner.AcknowledgeAsync(default);
        await bench.SettleAsync();
        Assert.False(acknowledged.IsCompleted);
        await bench.UntilAsync(_ => acknowledged.IsCompleted);
        Assert.True((await acknowledged).IsAccepted);
    }

    [Fact]
    public async Task A_rig_that_keeps_its_latch_keeps_the_trip()
    {
        await using var bench = await TestBench.ConnectedAsync();
        await bench.Runner.MakeSafeAsync("try", default);
        bench.Rig.Answers = what => what == "release" ? new RigReply(false, "latched", "the stop button is pressed") : null;
        var acknowledged = bench.AcknowledgeAsync();
        Assert.Equal("not-released", (await acknowledged).Refusals[0].Code);
        Assert.NotNull(bench.Runner.State.Trip);
    }

    [Fact]
    public async Task A_full_disk_at_any_write_leaves_the_rig_safe_and_keeps_what_was_written()
    {
        var writes = await WritesOfASweepAsync();
        Assert.True(writes >= 8);
        for (var n = 1; n <= writes; n++)
        {
            await using var bench = await TestBench.PermittedAsync();
            bench.Recorder.FailsAt = n;
            var header = await SweepFrameByFrameAsync(bench);
            Assert.Equal(RunState.Incomplete, await bench.EndAsync(header));
            await bench.UntilAsync(s => s.Trip is not null);
            Assert.Equal(TripCause.RecordingFailed, bench.Runner.State.Trip!.Cause);
            Assert.Contains("No space left", bench.Runner.State.Trip.Measured, StringComparison.Ordinal);
            Assert.False(bench.Rig.Supplies.PlateRail);
            Assert.True(bench.Rig.Latched);
            // All before the failed write is there, and nothing is shown that is not. The last write is the end of the run.
            await bench.UntilAsync(_ => bench.Shown.OfType<LiveUpdate.RunEnded>().Any());
            Assert.Equal(Math.Min(n, writes) - 1, bench.Recording.Blocks.Count);
            Assert.Equal(bench.Recording.Blocks, bench.Shown.OfType<LiveUpdate.Block>().Select(b => b.Samples));
            // With room again, an acknowledgement lets the next sweep run.
            bench.Recorder.FailsAt = 0;
            var acknowledged = bench.AcknowledgeAsync();
            Assert.True((await acknowledged).IsAccepted);
        }
    }

    private static async Task<int> WritesOfASweepAsync()
    {
        await using var bench = await TestBench.PermittedAsync();
        Assert.Equal(RunState.Complete, await bench.EndAsync(await SweepFrameByFrameAsync(bench)));
        return bench.Recorder.Writes;
    }

    /// <summary>One append a frame, so that each append can be made to fail.</summary>
    private static async Task<RunHeader> SweepFrameByFrameAsync(TestBench bench)
    {
        var header = await bench.StartAndHoldAsync(Samples.Gentle);
        for (var i = 0; i < FakeRig.Frames(bench.Rig.Program!); i++)
        {
            var before = bench.Recorder.Writes;
            bench.Rig.SendFrame(i);
            await bench.UntilAsync(_ => bench.Recorder.Writes > before, TimeSpan.Zero);
            await bench.SettleAsync();
            if (bench.Rig.Program is null) return header;
        }
        await bench.UntilAsync(s => s.Run is null || s.Run.PointsDone == Samples.Gentle.Points || bench.Rig.Program is null);
        if (bench.Rig.Program is not null) bench.Rig.EndProgram();
        return header;
    }

    private static void AssertInOrder(List<string> journal, params string[] lines)
    {
        var at = -1;
        foreach (var line in lines)
        {
            var next = journal.FindIndex(at + 1, l => l == line);
            Assert.True(next > at, $"{line} does not come after {(at < 0 ? "the start" : journal[at])}: {string.Join(", ", journal)}");
            at = next;
        }
    }
}
