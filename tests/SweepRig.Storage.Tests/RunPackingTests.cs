using SweepRig.Domain.Runs;
using SweepRig.Storage.Blocks;
using SweepRig.Storage.Tests.Support;

namespace SweepRig.Storage.Tests;

public abstract class RunPackingTests(PostgresServer? server) : StoreTests(server)
{
    [Fact]
    public async Task Blocks_of_an_ended_run_are_read_as_before_from_any_sequence_number()
    {
        var recorded = await OpenAsync();
        await using var recording = await recorded.BeginAsync(Examples.Header(), Cancel);
        for (var i = 0; i < 30; i++) await recording.AppendAsync([.. Enumerable.Range(20 * i, 20).Select(n => Examples.Block(n, samples: 40))], Cancel);
        await recording.EndAsync(RunState.Complete, Examples.Started.AddSeconds(9), Cancel);
        // A store that is closed has packed what ended.
        await recorded.DisposeAsync();
        await using var store = await OpenAsync();

        foreach (var from in new[] { 0, 1, 204, 599, 600 })
        {
            var read = await store.ReadBlocksAsync(recording.RunId, from, Cancel).ToListAsync(Cancel);
            Assert.Equal(Enumerable.Range(from, 600 - from).Select(n => (long)n), read.Select(b => b.Sequence));
            foreach (var block in read) Examples.AssertSame(Examples.Block((int)block.Sequence, samples: 40), block.Block);
        }
        var (blocks, packs) = await store.OnContextAsync(context => Task.FromResult((context.Blocks.Count(), context.Packs.Count())), Cancel);
        Assert.Equal((0, 600 * 40 / BlockPack.Samples + 1), (blocks, packs));
    }

    [Fact]
    public async Task A_reader_beside_the_end_of_a_run_misses_nothing()
    {
        await using var store = await OpenAsync();
        for (var run = 0; run < 10; run++)
        {
            var recording = await store.BeginAsync(Examples.Header(), Cancel);
            await recording.AppendAsync([.. Enumerable.Range(0, 50).Select(n => Examples.Block(n))], Cancel);
            var end = Task.Run(() => recording.DisposeAsync().AsTask(), Cancel);
            bool ended;
            do
            {
                ended = end.IsCompleted;
                Assert.Equal(50, await store.ReadBlocksAsync(recording.RunId, 0, Cancel).CountAsync(Cancel));
            }
            while (!ended);
            await end;
        }
    }

    [Fact]
    public async Task Runs_share_their_plan_and_setup()
    {
        await using var store = await OpenAsync();
        await using var other = await OpenAsync();
        for (var i = 0; i < 4; i++) await (await (i % 2 == 0 ? store : other).BeginAsync(Examples.Header(permit: Examples.Permit), Cancel)).DisposeAsync();
        Assert.Equal(2, await store.OnContextAsync(context => Task.FromResult(context.Texts.Count()), Cancel));
        foreach (var run in await other.ListAsync(10, null, Cancel)) Examples.AssertSame(Examples.Header(run.Header.Id, permit: Examples.Permit), run.Header);
    }
}

public sealed class RunPackingOnSqliteTests() : RunPackingTests(null);

public sealed class RunPackingOnPostgresTests(PostgresServer server) : RunPackingTests(server);
