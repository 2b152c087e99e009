using SweepRig.Domain.Interlocks;
using SweepRig.Domain.Runs;
using SweepRig.Domain.Stock;
using SweepRig.Domain.Watching;
using SweepRig.Storage.Moving;
using SweepRig.Storage.Schema;
using SweepRig.Storage.Tests.Support;

namespace SweepRig.Storage.Tests.Moving;

public sealed class StoreMoveTests(PostgresServer server) : StoreTests(server)
{
    private StorePlace File => new(In("file"));

    private StorePlace Back => new(In("back"));

    [Fact]
    public async Task There_and_back_equals_the_original()
    {
        await using var file = await FilledAsync();
        await using var shared = await OpenAsync();
        await using var back = await OpenAsync(Back);
        var there = await MovedAsync(file, shared);
        Assert.Equal(there, await MovedAsync(shared, back));

        Assert.Equal(StoreTables.All, there.Select(t => t.Name));
        Assert.All(there.Where(t => t.Name is not "blocks"), t => Assert.True(t.Rows > 0, t.Name));
        foreach (var run in await file.ListAsync(10, null, Cancel))
        {
            var found = await back.FindAsync(run.Header.Id, Cancel);
            Examples.AssertSame(run.Header, found!.Header);
            Assert.Equal((run.State, run.EndedUtc, run.Samples), (found.State, found.EndedUtc, found.Samples));
            Assert.Equal(run.Trips, found.Trips);
            Assert.Equal(run.Gaps, found.Gaps);
            var blocks = await back.ReadBlocksAsync(run.Header.Id, 0, Cancel).ToListAsync(Cancel);
            foreach (var block in blocks) Examples.AssertSame(Examples.Block((int)block.Sequence), block.Block);
        }
        var (before, after) = (new StockStore(file, TimeProvider.System), new StockStore(back, TimeProvider.System));
        Assert.Equal(await before.LotsAsync(Cancel), await after.LotsAsync(Cancel));
        Assert.Equal((await before.TubesAsync(null, Cancel)).SelectMany(t => t.History), (await after.TubesAsync(null, Cancel)).SelectMany(t => t.History));
    }

    [Fact]
    public async Task Work_goes_on_where_a_store_was_moved_to()
    {
        await using var file = await FilledAsync();
        await using var shared = await OpenAsync();
        await MovedAsync(file, shared);
        // New rows get numbers that no moved row has.
        await (await shared.BeginAsync(Examples.Header(), Cancel)).DisposeAsync();
        Assert.Equal(["SKUA-004"], (await new StockStore(shared, TimeProvider.System).BookAsync(Skua, 1, null, Cancel)).Value!.Select(t => t.Label));
        Assert.Equal(3, (await shared.ListAsync(10, null, Cancel)).Count);
    }

    [Fact]
    public async Task A_store_that_is_not_empty_takes_no_other_and_keeps_what_it_has()
    {
        await using var file = await FilledAsync();
        await using var shared = await OpenAsync();
        await new StockStore(shared, TimeProvider.System).BookAsync(Skua with { Name = "Petrel", Prefix = "PETREL" }, 2, null, Cancel);
        var refused = await StoreMove.RunAsync(file, shared, null, Cancel);
        var refusal = Assert.Single(refused.Refusals);
        Assert.Equal("store-not-empty", refusal.Code);
        Assert.Contains(shared.Name, refusal.ToString(), StringComparison.Ordinal);
        Assert.Equal(2, (await new StockStore(shared, TimeProvider.System).TubesAsync(null, Cancel)).Count);
    }

    [Fact]
    public async Task A_store_that_is_being_recorded_into_is_not_moved()
    {
        await using var file = await FilledAsync();
        await using var shared = await OpenAsync();
        await using var running = await file.BeginAsync(Examples.Header(), Cancel);
        Assert.Equal("store-in-use", Assert.Single((await StoreMove.RunAsync(file, shared, null, Cancel)).Refusals).Code);
    }

    [Theory]
    [InlineData("runs")]
    [InlineData("packs")]
    [InlineData("tube_changes")]
    public async Task An_interrupted_move_leaves_both_as_they_were_and_can_be_repeated(string until)
    {
        await using var file = await FilledAsync();
        await using var shared = await OpenAsync();
        using var interrupt = new CancellationTokenSource();
        await Assert.ThrowsAnyAsync<OperationCanceledException>(() => StoreMove.RunAsync(
            file, shared,
            table =>
            {
                if (table.Name != until) return;
                interrupt.Cancel();
                interrupt.Token.ThrowIfCancellationRequested();
            },
            interrupt.Token));
        Assert.Empty(await shared.ListAsync(10, null, Cancel));
        Assert.Equal(2, (await file.ListAsync(10, null, Cancel)).Count);
        await MovedAsync(file, shared);
        Assert.Equal(2, (await shared.ListAsync(10, null, Cancel)).Count);
    }

    [Fact]
    public void Every_table_comes_after_those_that_it_refers_to_and_none_is_forgotten()
    {
        Assert.Equal(StoreSchema.Steps.Sum(s => s.Split("CREATE TABLE ").Length - 1), StoreTables.All.Count);
        Assert.True(StoreTables.All.ToList().IndexOf("texts") < StoreTables.All.ToList().IndexOf("runs"));
    }

    private static Lot Skua { get; } = new("Skua", "SKUA", "EF91", "coast radio station", null, "one box, \"damp\"", Examples.Started);

    private static async Task<IReadOnlyList<MovedTable>> MovedAsync(RunStore from, RunStore to)
    {
        var moved = await StoreMove.RunAsync(from, to, null, Cancel);
        Assert.Empty(moved.Refusals);
        return moved.Value!;
    }

    /// <summary>A file with something in every table.</summary>
    private async Task<RunStore> FilledAsync()
    {
        await using var store = await OpenAsync(File);
        foreach (var state in new[] { RunState.Complete, RunState.Tripped })
        {
            await using var recording = await store.BeginAsync(Examples.Header(permit: Examples.Permit), Cancel);
            await recording.AppendAsync([Examples.Block(0), Examples.Block(1)], Cancel);
            await recording.TripAsync(new Trip(TripCause.GridCurrent, true, "grid current 8.2 mA", "8 mA", Examples.Started, new(3)), Cancel);
            await recording.GapsAsync([new Gap(0, 17, 3, "lost")], Cancel);
            await recording.EndAsync(state, Examples.Started.AddSeconds(9), Cancel);
        }
        var calibrations = new CalibrationStore(store, TimeProvider.System);
        await calibrations.AddAsync(Examples.Calibration, Cancel);
        await calibrations.SaveBegunAsync("SIM-0001", "as far as it has come", Cancel);
        var stock = new StockStore(store, TimeProvider.System);
        await stock.BookAsync(Skua, 3, "drawer 3", Cancel);
        await stock.ChangeAsync("SKUA-002", TubeChangeKind.Noted, "getter: grau, 7 µm", Cancel);
        await new EventStore(store).AddAsync([BenchEvent.Of(Examples.Started, "north", EventSeverity.Alarm, EventKind.Trip, "Too much grid current.", "Lower the highest drive.")], Cancel);
        var nights = new NightStore(store, TimeProvider.System);
        await nights.BeginAsync(new("n-1", "north", "Skua", Examples.Started, null, null, "{}", "[]", "{}", "begun"), Cancel);
        await nights.SaveAsync("n-1", [new(0, 1, "sweeps", 0, 0, "SKUA-001", StoredNightStep.Running, TimeSpan.Zero, null, null, ["r-1"], 0)], "one", Cancel);
        // Closed, so that all is packed.
        await store.DisposeAsync();
        return await OpenAsync(File);
    }
}
