using SweepRig.Domain.Stock;
using SweepRig.Storage.Tests.Support;

namespace SweepRig.Storage.Tests;

public abstract class StockStoreTests(PostgresServer? server) : StoreTests(server)
{
    private static readonly Lot Skua = new("Skua", "SKUA", "EF91", "coast radio station", "40 EUR", "one box", new(2026, 3, 1, 9, 0, 0, TimeSpan.Zero));

    [Fact]
    public async Task Numbers_go_on_where_they_ended_and_everything_is_read_back()
    {
        await using (var runs = await OpenAsync())
        {
            var store = new StockStore(runs, TimeProvider.System);
            Assert.Equal(["SKUA-001", "SKUA-002", "SKUA-003"], (await store.BookAsync(Skua, 3, "drawer 3", Cancel)).Value!.Select(t => t.Label));
            Assert.Equal(["SKUA-004"], (await store.BookAsync(Skua, 1, null, Cancel)).Value!.Select(t => t.Label));
            Assert.True((await store.ChangeAsync("SKUA-002", TubeChangeKind.Screened, "sound", Cancel)).IsAccepted);
            Assert.True((await store.ChangeAsync("SKUA-002", TubeChangeKind.PutToUse, "adder, carry", Cancel)).IsAccepted);
        }
        await using var again = await OpenAsync();
        var read = new StockStore(again, TimeProvider.System);
        Assert.Equal([(Skua, 4)], await read.LotsAsync(Cancel));
        var tube = await read.FindAsync("SKUA-002", Cancel);
        Assert.Equal((TubeState.InUse, "adder, carry", "EF91", "drawer 3"), (tube!.State, tube.InUseAt, tube.TypeName, tube.Location));
        Assert.Equal(5, tube.History.Count);
        Assert.Equal([null, "drawer 3", "drawer 3", "drawer 3"], (await read.TubesAsync("Skua", Cancel)).Select(t => t.Location).Order());
        Assert.Empty(await read.TubesAsync("Petrel", Cancel));
        Assert.Null(await read.FindAsync("SKUA-999", Cancel));
    }

    [Fact]
    public async Task What_is_refused_changes_nothing()
    {
        await using var runs = await OpenAsync();
        var store = new StockStore(runs, TimeProvider.System);
        await store.BookAsync(Skua, 2, null, Cancel);
        Assert.Equal("bad-count", await CodeAsync(store.BookAsync(Skua, 0, null, Cancel)));
        Assert.Equal("lot-full", await CodeAsync(store.BookAsync(Skua, Lot.MostTubes, null, Cancel)));
        Assert.Equal("lot-of-another-type", await CodeAsync(store.BookAsync(Skua with { TypeName = "6BH6" }, 1, null, Cancel)));
        Assert.Equal("lot-has-another-prefix", await CodeAsync(store.BookAsync(Skua with { Prefix = "SK" }, 1, null, Cancel)));
        Assert.Equal("prefix-taken", await CodeAsync(store.BookAsync(Skua with { Name = "Skua II" }, 1, null, Cancel)));
        Assert.Equal("tube-unknown", Assert.Single((await store.ChangeAsync("SKUA-009", TubeChangeKind.Noted, "x", Cancel)).Refusals).Code);
        Assert.Equal("tube-not-in-use", Assert.Single((await store.ChangeAsync("SKUA-001", TubeChangeKind.TakenOut, "x", Cancel)).Refusals).Code);
        Assert.Equal(2, (await store.TubesAsync(null, Cancel)).Count);
        Assert.Equal(2, (await store.FindAsync("SKUA-001", Cancel))!.History.Count);
    }

    [Fact]
    public async Task Two_benches_booking_and_changing_at_once_lose_and_double_nothing()
    {
        await using var one = await OpenAsync();
        await using var other = await OpenAsync();
        StockStore[] stores = [new(one, TimeProvider.System), new(other, TimeProvider.System)];
        var booked = await Task.WhenAll(Enumerable.Range(0, 20).Select(n => stores[n % 2].BookAsync(Skua, 3, null, Cancel)));
        Assert.Equal(60, booked.SelectMany(b => b.Value!).Select(t => t.Label).Distinct().Count());

        // Both want the same tube: one gets it.
        var wanted = await Task.WhenAll(Enumerable.Range(0, 8).Select(n => stores[n % 2].ChangeAsync("SKUA-007", TubeChangeKind.PutToUse, $"bit {n}", Cancel)));
        Assert.Single(wanted, w => w.IsAccepted);
        Assert.All(wanted.Where(w => !w.IsAccepted), w => Assert.Equal("tube-in-use", w.Refusals[0].Code));
        Assert.Equal(60, (await stores[0].TubesAsync("Skua", Cancel)).Count);
    }

    [Fact]
    public async Task Tubes_with_a_history_come_in_all_or_none_and_only_when_they_are_to_be_kept()
    {
        await using var runs = await OpenAsync();
        var store = new StockStore(runs, TimeProvider.System);
        await store.BookAsync(Skua, 2, null, Cancel);
        var at = new DateTimeOffset(2026, 3, 2, 9, 0, 0, TimeSpan.Zero).AddTicks(7);
        var tern = Skua with { Name = "Tern", Prefix = "TERN", TypeName = null };
        StockTube Coming(string label, string lot) => StockTube.Booked(label, lot, at).After(new(TubeChangeKind.Noted, "faded", at.AddDays(1))).Value!;
        StockToCome good = new([Skua, tern], [Coming("SKUA-005", "Skua"), Coming("TERN-007", "Tern")]);

        var twice = await store.ImportAsync(good with { Tubes = [.. good.Tubes, Coming("SKUA-002", "Skua")] }, keep: true, Cancel);
        Assert.Equal(("number-taken", "SKUA-002 is to come into the stock"), (Assert.Single(twice.Refusals).Code, twice.Refusals[0].Asked));
        Assert.Equal("prefix-taken", Assert.Single((await store.ImportAsync(good with { Lots = [Skua, tern with { Name = "Skua II", Prefix = "SKUA" }] }, keep: true, Cancel)).Refusals).Code);
        Assert.True((await store.ImportAsync(good, keep: false, Cancel)).IsAccepted);
        Assert.Equal([(Skua, 2)], await store.LotsAsync(Cancel));

        Assert.True((await store.ImportAsync(good, keep: true, Cancel)).IsAccepted);
        Assert.Equal(good.Tubes[1].History, (await store.FindAsync("TERN-007", Cancel))!.History);
        Assert.Equal(["SKUA-006"], (await store.BookAsync(Skua, 1, null, Cancel)).Value!.Select(t => t.Label));
        Assert.Equal("number-taken", (await store.ImportAsync(good, keep: true, Cancel)).Refusals[0].Code);
    }

    private static async Task<string> CodeAsync(Task<Domain.Outcome<IReadOnlyList<StockTube>>> booking) => Assert.Single((await booking).Refusals).Code;
}

public sealed class StockStoreOnSqliteTests() : StockStoreTests(null);

public sealed class StockStoreOnPostgresTests(PostgresServer server) : StockStoreTests(server);
