using SweepRig.Domain.Runs;
using SweepRig.Domain.Stock;
using SweepRig.Domain.Tubes;
using SweepRig.Storage.Tests.Support;

namespace SweepRig.Storage.Tests.Archives;

/// <summary>From one bench to another, and what stands against it.</summary>
public abstract class ArchiveTests(PostgresServer? server)
{
    private static CancellationToken Cancel => TestContext.Current.CancellationToken;

    [Fact]
    public async Task Everything_comes_over_to_the_last_code_and_again_changes_nothing()
    {
        await using var one = await ArchiveBench.FilledAsync(server);
        await using var other = await ArchiveBench.EmptyAsync(server);
        var archive = await one.ArchiveAsync();

        var looked = await other.LookAsync(archive);
        Assert.Equal((2, 1, 1, 14, false), (looked.Value!.NewRuns.Count, looked.Value.NewCalibrations.Count, looked.Value.NewLots.Count, looked.Value.NewTubes.Count, looked.Value.TakenIn));
        Assert.Empty(await other.Runs.ListAsync(10, null, Cancel));
        Assert.Empty(await other.Stock.LotsAsync(Cancel));

        var taken = await other.TakeInAsync(archive);
        Assert.True(taken.Value!.TakenIn);
        Assert.Equal(await one.AllAsync(), await other.AllAsync());
        var (there, here) = (await one.Runs.FindAsync(ArchiveBench.Id(2), Cancel), await other.Runs.FindAsync(ArchiveBench.Id(2), Cancel));
        Assert.Equal(there!.Trips, here!.Trips);
        Assert.Equal(there.Gaps, here.Gaps);
        Assert.Equal("cal-1", here.Header.Calibration.Id);
        List<StoredBlock> sent = [], got = [];
        await foreach (var block in one.Runs.ReadBlocksAsync(ArchiveBench.Id(1), 0, Cancel)) sent.Add(block);
        await foreach (var block in other.Runs.ReadBlocksAsync(ArchiveBench.Id(1), 0, Cancel)) got.Add(block);
        Assert.Equal(3, got.Count);
        foreach (var (a, b) in sent.Zip(got))
        {
            Assert.Equal(a.Sequence, b.Sequence);
            Examples.AssertSame(a.Block, b.Block);
        }

        var again = await other.TakeInAsync(archive);
        Assert.Equal((true, 2, 14, 0), (again.Value!.BringsNothing, again.Value.SameRuns, again.Value.SameTubes, again.Value.Conflicts.Count));
        Assert.Equal(await one.AllAsync(), await other.AllAsync());
        // Numbers go on behind those that came.
        Assert.Equal("SKUA-015", (await other.Stock.BookAsync(ArchiveBench.Skua, 1, null, Cancel)).Value![0].Label);
    }

    [Fact]
    public async Task From_one_kind_of_store_to_the_other_nothing_differs()
    {
        await using var one = await ArchiveBench.FilledAsync(server);
        await using var other = await ArchiveBench.EmptyAsync();
        Assert.True((await other.TakeInAsync(await one.ArchiveAsync())).Value!.TakenIn);
        Assert.Equal(await one.AllAsync(), await other.AllAsync());
    }

    [Fact]
    public async Task What_was_done_to_a_tube_elsewhere_goes_on_here_and_never_the_other_way()
    {
        await using var one = await ArchiveBench.FilledAsync(server);
        await using var other = await ArchiveBench.EmptyAsync(server);
        var early = await one.ArchiveAsync();
        await other.TakeInAsync(early);
        await one.Stock.ChangeAsync("SKUA-014", TubeChangeKind.PutToUse, "tide clock, bit 2", Cancel);
        await one.Stock.BookAsync(ArchiveBench.Skua, 1, null, Cancel);
        var late = await one.ArchiveAsync();

        var taken = (await other.TakeInAsync(late)).Value!;
        Assert.Equal(("SKUA-014", "SKUA-015", 13), (Assert.Single(taken.LongerTubes), Assert.Single(taken.NewTubes), taken.SameTubes));
        Assert.Equal(TubeState.InUse, (await other.Stock.FindAsync("SKUA-014", Cancel))!.State);
        Assert.True((await other.TakeInAsync(early)).Value!.BringsNothing);
        Assert.Equal(TubeState.InUse, (await other.Stock.FindAsync("SKUA-014", Cancel))!.State);
    }

    [Fact]
    public async Task A_conflict_stops_everything_unless_what_is_here_is_to_stay()
    {
        await using var one = await ArchiveBench.FilledAsync(server);
        await using var other = await ArchiveBench.EmptyAsync(server);
        // The same lot by name, and yet another one; the same run by id, and yet other codes; the same tube number in another lot.
        await other.Stock.BookAsync(ArchiveBench.Skua with { Origin = "flea market" }, 1, null, Cancel);
        await other.RecordAsync(Examples.Header(ArchiveBench.Id(1)), RunState.Complete, [Examples.Block(0), Examples.Block(1, 60), Examples.Block(101)]);
        await one.RecordAsync(Examples.Header(ArchiveBench.Id(3)) with { Tube = new Tube("PETREL-001", "6BH6", "Petrel") }, RunState.Complete, [Examples.Block(3)]);
        var before = await other.AllAsync();
        var archive = await one.ArchiveAsync();

        var stopped = (await other.TakeInAsync(archive)).Value!;
        Assert.False(stopped.TakenIn);
        Assert.Equal(["lot Skua", $"run {ArchiveBench.Id(1)}"], stopped.Conflicts.Select(c => $"{c.Kind} {c.Name}"));
        Assert.Contains("flea market", stopped.Conflicts[0].Here, StringComparison.Ordinal);
        Assert.Equal(before, await other.AllAsync());

        var kept = (await other.TakeInAsync(archive, keepHere: true)).Value!;
        Assert.True(kept.TakenIn);
        Assert.Equal([ArchiveBench.Id(2), ArchiveBench.Id(3)], kept.NewRuns);
        Assert.Equal("flea market", (await other.Stock.LotsAsync(Cancel))[0].Lot.Origin);
        Assert.Single(await other.Stock.TubesAsync("Skua", Cancel));
        Assert.NotNull(await other.Runs.FindAsync(ArchiveBench.Id(3), Cancel));
    }

    [Fact]
    public async Task Runs_of_another_tube_of_the_same_number_are_not_mixed_in()
    {
        await using var one = await ArchiveBench.FilledAsync(server);
        await using var other = await ArchiveBench.EmptyAsync(server);
        await other.Stock.BookAsync(ArchiveBench.Skua with { Name = "Skua II" }, 14, null, Cancel);
        var found = (await other.LookAsync(await one.ArchiveAsync())).Value!;
        Assert.Equal(["lot", "run", "run"], found.Conflicts.Select(c => c.Kind));
        Assert.Contains("tube SKUA-014 is one of lot Skua II", found.Conflicts[1].Here, StringComparison.Ordinal);
    }

    [Fact]
    public async Task Runs_of_a_section_go_with_their_tube()
    {
        await using var one = await ArchiveBench.FilledAsync(server);
        await using var other = await ArchiveBench.EmptyAsync(server);
        await one.RecordAsync(Examples.Header(ArchiveBench.Id(3)) with { Tube = new Tube("SKUA-002/2", "12AU7", "Skua") }, RunState.Complete, [Examples.Block(3)]);
        var taken = (await other.TakeInAsync(await one.ArchiveAsync(new([], ["SKUA-002"], [])), names: ("Skua", "Skua B"))).Value!;
        Assert.Equal((ArchiveBench.Id(3), "SKUAB-002"), (Assert.Single(taken.NewRuns), Assert.Single(taken.NewTubes)));
        Assert.Equal("SKUAB-002/2", Assert.Single(await other.Runs.OfTubeAsync("SKUAB-002", Cancel)).Header.Tube.Label);
    }

    [Fact]
    public async Task A_lot_whose_name_is_taken_comes_in_under_another_with_its_tubes_and_runs()
    {
        await using var one = await ArchiveBench.FilledAsync(server);
        await using var other = await ArchiveBench.EmptyAsync(server);
        await other.Stock.BookAsync(ArchiveBench.Skua with { Origin = "flea market" }, 14, null, Cancel);
        var archive = await one.ArchiveAsync();
        for (var time = 0; time < 2; time++)
        {
            var taken = (await other.TakeInAsync(archive, names: ("Skua", "Skua B"))).Value!;
            Assert.True(taken.TakenIn);
            Assert.Empty(taken.Conflicts);
            Assert.Equal(time == 1, taken.BringsNothing);
        }
        Assert.Equal(28, (await other.Stock.TubesAsync(null, Cancel)).Count);
        Assert.Equal(("Skua B", "first"), ((await other.Stock.FindAsync("SKUAB-014", Cancel))!.Lot, (await other.Stock.FindAsync("SKUAB-014", Cancel))!.Grade));
        Assert.Empty(await other.Runs.OfTubeAsync("SKUA-014", Cancel));
        Assert.Equal(2, (await other.Runs.OfTubeAsync("SKUAB-014", Cancel)).Count);
        Assert.Equal("archive-has-no-such-lot", Assert.Single((await other.TakeInAsync(archive, names: ("Petrel", "P"))).Refusals).Code);
        Assert.Equal("archive-bad-lot-name", Assert.Single((await other.TakeInAsync(archive, names: ("Skua", "---"))).Refusals).Code);
    }

    [Fact]
    public async Task Histories_that_part_are_a_conflict_that_says_where()
    {
        await using var one = await ArchiveBench.FilledAsync(server);
        await using var other = await ArchiveBench.EmptyAsync(server);
        await other.TakeInAsync(await one.ArchiveAsync());
        await one.Stock.ChangeAsync("SKUA-001", TubeChangeKind.Noted, "pin 3 straightened", Cancel);
        await other.Stock.ChangeAsync("SKUA-001", TubeChangeKind.Retired, "dropped", Cancel);
        var conflict = Assert.Single((await other.TakeInAsync(await one.ArchiveAsync())).Value!.Conflicts);
        Assert.Equal(("tube", "SKUA-001"), (conflict.Kind, conflict.Name));
        Assert.StartsWith("retired \"dropped\" on ", conflict.Here, StringComparison.Ordinal);
        Assert.StartsWith("noted \"pin 3 straightened\" on ", conflict.There, StringComparison.Ordinal);
    }

    [Fact]
    public async Task A_part_of_the_stock_can_be_chosen_and_a_run_under_way_stays_out()
    {
        await using var one = await ArchiveBench.FilledAsync(server);
        await one.RecordAsync(Examples.Header(ArchiveBench.Id(3)) with { Tube = new Tube("PETREL-001", "6BH6", "Petrel") }, RunState.Complete, [Examples.Block(3)]);
        await using var under = await one.Runs.BeginAsync(Examples.Header(ArchiveBench.Id(4)), Cancel);
        await using var other = await ArchiveBench.EmptyAsync(server);
        var brought = (await other.TakeInAsync(await one.ArchiveAsync(new([], ["SKUA-014"], [])))).Value!;
        Assert.Equal([ArchiveBench.Id(1), ArchiveBench.Id(2)], brought.NewRuns);
        Assert.Equal(["SKUA-014"], brought.NewTubes);
        var petrel = (await other.TakeInAsync(await one.ArchiveAsync(new(["Petrel"], [], [])))).Value!;
        Assert.Equal([ArchiveBench.Id(3)], petrel.NewRuns);
        Assert.Empty(petrel.NewCalibrations);
        // The rest of the lot finds its place beside the one that came first.
        Assert.Equal(13, (await other.TakeInAsync(await one.ArchiveAsync())).Value!.NewTubes.Count);
    }
}

public sealed class ArchiveOnSqliteTests() : ArchiveTests(null);

public sealed class ArchiveOnPostgresTests(PostgresServer server) : ArchiveTests(server);
