using Microsoft.Extensions.Logging.Abstractions;
using SweepRig.Domain.Runs;
using SweepRig.Storage.Tests.Support;

namespace SweepRig.Storage.Tests;

public sealed class RunStoreKilledTests : IDisposable
{
    private readonly TemporaryDirectory _directory = new();

    private static CancellationToken Cancel => TestContext.Current.CancellationToken;

    public void Dispose() => _directory.Dispose();

    [Fact]
    public async Task A_killed_process_loses_nothing_that_was_acknowledged_and_leaves_the_run_incomplete()
    {
        using var victim = Victim.Start(_directory.Path);
        var acknowledged = await victim.KillAfterAsync(30, Cancel);
        Assert.True(acknowledged >= 59);

        using var again = DataDirectoryLock.TryTake(_directory.Path).Value;
        Assert.NotNull(again);
        await using var store = await RunStore.OpenAsync(_directory.Path, TimeProvider.System, NullLogger<RunStore>.Instance, Cancel);
        Assert.Equal(1, await store.MarkInterruptedAsync(Cancel));
        var run = Assert.Single(await store.ListAsync(10, null, Cancel));
        Assert.Equal(RunState.Incomplete, run.State);
        Assert.Null(run.EndedUtc);
        var blocks = await store.ReadBlocksAsync(run.Header.Id, 0, Cancel).ToListAsync(Cancel);
        Assert.True(blocks.Count > acknowledged, $"{blocks.Count} blocks are stored, {acknowledged + 1} were acknowledged.");
        Assert.Equal(blocks.Sum(b => b.Block.Count), run.Samples);
        for (var i = 0; i < blocks.Count; i++) Examples.AssertSame(Examples.Block(i), blocks[i].Block);
    }

    [Fact]
    public async Task The_lock_of_a_living_process_is_refused_by_its_id_and_that_of_a_killed_one_is_free()
    {
        using var victim = Victim.Start(_directory.Path);
        var refusal = await RefusalWhileAliveAsync(victim);
        Assert.Contains($"process {victim.ProcessId}", refusal, StringComparison.Ordinal);
        using var free = DataDirectoryLock.TryTake(_directory.Path).Value;
        Assert.NotNull(free);
    }

    private async Task<string> RefusalWhileAliveAsync(Victim victim)
    {
        // The victim has the lock before it records; a first acknowledgement is awaited by reading the store.
        await using var store = await RunStore.OpenAsync(_directory.Path, TimeProvider.System, NullLogger<RunStore>.Instance, Cancel);
        while ((await store.ListAsync(1, null, Cancel)).Count == 0) Cancel.ThrowIfCancellationRequested();
        var refused = DataDirectoryLock.TryTake(_directory.Path);
        Assert.False(refused.IsAccepted);
        await victim.KillAfterAsync(1, Cancel);
        return refused.Refusals.Single().ToString();
    }
}
