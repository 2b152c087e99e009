using SweepRig.Storage.Tests.Support;

namespace SweepRig.Storage.Tests;

public abstract class NightStoreTests(PostgresServer? server) : StoreTests(server)
{
    [Fact]
    public async Task A_step_is_there_before_it_is_done_and_after_and_each_attempt_for_itself()
    {
        await using (var first = await OpenAsync())
        {
            var nights = new NightStore(first, TimeProvider.System);
            await nights.BeginAsync(Night("n-1"), Cancel);
            await nights.SaveAsync("n-1", [Step(0, 1, StoredNightStep.Running)], "one", Cancel);
            await nights.SaveAsync("n-1", [Step(0, 1, "again") with { Ended = TimeSpan.FromSeconds(2.5), Verdict = "the cable was pulled", Runs = ["r-1", "r-2"], Coulombs = 1.5e-3 }, Step(0, 2, StoredNightStep.Running)], "two", Cancel);
        }
        // Another process, after this one was killed.
        await using var second = await OpenAsync();
        var store = new NightStore(second, TimeProvider.System);
        var night = await store.UnderWayAsync("rig-1", Cancel);
        Assert.Equal(Night("n-1") with { Progress = "two" }, night);
        var steps = await store.StepsAsync("n-1", Cancel);
        Assert.Equal([(0, 1, "again"), (0, 2, "running")], steps.Select(s => (s.Step, s.Attempt, s.State)));
        Assert.Equal((TimeSpan.FromSeconds(2.5), "the cable was pulled", 1.5e-3), (steps[0].Ended, steps[0].Verdict, steps[0].Coulombs));
        Assert.Equal(["r-1", "r-2"], steps[0].Runs);
        Assert.Equal((TimeSpan.FromSeconds(1), (TimeSpan?)null), (steps[1].Began, steps[1].Ended));
    }

    [Fact]
    public async Task A_night_that_is_over_is_under_way_no_more_and_rigs_stay_apart()
    {
        await using var runs = await OpenAsync();
        var nights = new NightStore(runs, TimeProvider.System);
        await nights.BeginAsync(Night("n-1"), Cancel);
        await nights.BeginAsync(Night("n-2") with { Rig = "rig-2" }, Cancel);
        await nights.EndAsync("n-1", [Step(1, 0, "not-reached") with { Began = null, Verdict = "no time" }], "used", "all steps are done with", Cancel);
        Assert.Null(await nights.UnderWayAsync("rig-1", Cancel));
        Assert.Equal("n-2", (await nights.UnderWayAsync("rig-2", Cancel))!.Id);
        Assert.Equal(["n-2", "n-1"], (await nights.ListAsync(10, null, Cancel)).Select(n => n.Id));
        Assert.Equal(["n-1"], (await nights.ListAsync(10, "rig-1", Cancel)).Select(n => n.Id));
        var over = (await nights.FindAsync("n-1", Cancel))!;
        Assert.Equal((true, "all steps are done with", "used"), (over.IsOver, over.EndedBecause, over.Progress));
        Assert.Null((await nights.StepsAsync("n-1", Cancel))[0].Began);
        Assert.Null(await nights.FindAsync("n-9", Cancel));
        await Assert.ThrowsAsync<KeyNotFoundException>(() => nights.SaveAsync("n-9", [], "", Cancel));
    }

    private static StoredNight Night(string id) => new(id, "rig-1", "Skua", new(2026, 11, 26, 20, 30, 0, TimeSpan.Zero), null, null, "{}", "[]", "{\"steps\":[]}", "none");

    private static StoredNightStep Step(int step, int attempt, string state) => new(step, attempt, "sweeps", 0, 0, "SKUA-014", state, TimeSpan.FromSeconds(1), null, null, [], 0);
}

public sealed class NightStoreOnSqliteTests() : NightStoreTests(null);

public sealed class NightStoreOnPostgresTests(PostgresServer server) : NightStoreTests(server);
