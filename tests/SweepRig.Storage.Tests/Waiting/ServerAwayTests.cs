using Microsoft.Extensions.Time.Testing;
using SweepRig.Domain.Interlocks;
using SweepRig.Domain.Runs;
using SweepRig.Storage.Tests.Support;
using SweepRig.Storage.Waiting;

namespace SweepRig.Storage.Tests.Waiting;

/// <summary>The server goes away in the middle of a sweep and comes back. It is a server of these tests alone.</summary>
public sealed class ServerAwayTests : IAsyncLifetime
{
    private readonly PostgresServer _server = new();
    private readonly TemporaryDirectory _directory = new();
    private readonly FakeTimeProvider _clock = new(Examples.Started);
    private StorePlace _place = null!;

    private static CancellationToken Cancel => TestContext.Current.CancellationToken;

    public async ValueTask InitializeAsync() => _place = new(_directory.Path, await _server.NewDatabaseAsync());

    public async ValueTask DisposeAsync()
    {
        await _server.DisposeAsync();
        _directory.Dispose();
    }

    private Task<RunStore> OpenAsync() => RunStore.OpenAsync(_place, _clock, Microsoft.Extensions.Logging.Abstractions.NullLogger<RunStore>.Instance, Cancel);

    [Fact]
    public async Task A_sweep_goes_on_and_all_of_it_is_there_once_the_server_is_back()
    {
        await using var store = await OpenAsync();
        await using var recording = await store.BeginAsync(Examples.Header(), Cancel);
        await recording.AppendAsync([Examples.Block(0), Examples.Block(1)], Cancel);

        await _server.StopAsync();
        Assert.Equal(2, await recording.AppendAsync([Examples.Block(2)], Cancel));
        await recording.TripAsync(new Trip(TripCause.GridCurrent, true, "grid current 8.2 mA", "8 mA", Examples.Started, null), Cancel);
        await recording.GapsAsync([new Gap(0, 17, 3, "lost")], Cancel);
        Assert.Equal(3, store.Waiting);
        var fault = await Assert.ThrowsAsync<RunStoreException>(() => store.ListAsync(10, null, Cancel));
        Assert.True(fault.IsAway);
        Assert.Contains("does not answer", fault.Message, StringComparison.Ordinal);
        Assert.Contains($"waits in {store.WaitingIn}", fault.Message, StringComparison.Ordinal);

        await _server.StartAsync();
        await recording.AppendAsync([Examples.Block(3)], Cancel);
        await recording.EndAsync(RunState.Tripped, Examples.Started.AddSeconds(9), Cancel);
        await UntilDeliveredAsync(store);

        await AssertWholeAsync(store, recording.RunId, 4, RunState.Tripped);
        var run = await store.FindAsync(recording.RunId, Cancel);
        Assert.Single(run!.Trips);
        Assert.Single(run.Gaps);
    }

    [Fact]
    public async Task What_waited_when_the_bench_ended_is_there_after_its_next_start()
    {
        string id;
        await using (var store = await OpenAsync())
        {
            await using var recording = await store.BeginAsync(Examples.Header(), Cancel);
            id = recording.RunId;
            await recording.AppendAsync([Examples.Block(0)], Cancel);
            await _server.StopAsync();
            await recording.AppendAsync([Examples.Block(1)], Cancel);
            await recording.EndAsync(RunState.Complete, Examples.Started.AddSeconds(9), Cancel);
        }
        await Assert.ThrowsAsync<RunStoreException>(OpenAsync);
        await _server.StartAsync();
        await using var again = await OpenAsync();
        Assert.Equal(2, await again.DeliverWaitingAsync(Cancel));
        Assert.Equal(0, await again.MarkInterruptedAsync(Cancel));
        await AssertWholeAsync(again, id, 2, RunState.Complete);
        Assert.Equal(0, await again.DeliverWaitingAsync(Cancel));
    }

    [Fact]
    public async Task A_write_whose_answer_was_lost_is_not_done_twice()
    {
        await using var store = await OpenAsync();
        await using var recording = await store.BeginAsync(Examples.Header(), Cancel);
        await recording.AppendAsync([Examples.Block(0)], Cancel);
        var run = await store.OnContextAsync(context => Task.FromResult(context.Runs.Single().Number), Cancel);
        await store.WriteAsync(run, 0, new RunWrite.Blocks([RunRows.From(run, 0, Examples.Block(0))]), Cancel);
        await recording.AppendAsync([Examples.Block(1)], Cancel);
        await recording.EndAsync(RunState.Complete, Examples.Started.AddSeconds(9), Cancel);
        await AssertWholeAsync(store, recording.RunId, 2, RunState.Complete);
    }

    [Fact]
    public async Task No_run_begins_while_the_server_is_away_and_the_stock_says_why_it_cannot_change()
    {
        await using var store = await OpenAsync();
        await _server.StopAsync();
        var fault = await Assert.ThrowsAsync<RunStoreException>(() => store.BeginAsync(Examples.Header(), Cancel).AsTask());
        Assert.Contains("does not answer", fault.Message, StringComparison.Ordinal);
        Assert.Contains("Start it", fault.Message, StringComparison.Ordinal);
        Assert.Equal(0, store.Waiting);
        await _server.StartAsync();
        await (await store.BeginAsync(Examples.Header(), Cancel)).DisposeAsync();
        Assert.Single(await store.ListAsync(10, null, Cancel));
    }

    [Fact]
    public async Task A_store_may_be_disposed_twice()
    {
        var store = await OpenAsync();
        await store.DisposeAsync();
        await store.DisposeAsync();
    }

    private async Task UntilDeliveredAsync(RunStore store)
    {
        while (store.Waiting > 0)
        {
            Cancel.ThrowIfCancellationRequested();
            _clock.Advance(TimeSpan.FromSeconds(1));
            await Task.Yield();
        }
    }

    private static async Task AssertWholeAsync(RunStore store, string id, int blocks, RunState state)
    {
        var run = await store.FindAsync(id, Cancel);
        Assert.Equal((state, blocks * 7L), (run?.State, run?.Samples));
        var read = await store.ReadBlocksAsync(id, 0, Cancel).ToListAsync(Cancel);
        Assert.Equal(Enumerable.Range(0, blocks).Select(n => (long)n), read.Select(b => b.Sequence));
        foreach (var block in read) Examples.AssertSame(Examples.Block((int)block.Sequence), block.Block);
    }
}
