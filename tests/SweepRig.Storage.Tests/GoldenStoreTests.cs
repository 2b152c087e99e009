using Microsoft.Extensions.Logging.Abstractions;
using SweepRig.Domain.Interlocks;
using SweepRig.Domain.Quantities;
using SweepRig.Domain.Runs;
using SweepRig.Storage.Tests.Support;

namespace SweepRig.Storage.Tests;

public class GoldenStoreTests
{
    [Fact]
    public async Task A_store_of_the_first_version_is_read_for_ever()
    {
        var cancel = TestContext.Current.CancellationToken;
        using var directory = new TemporaryDirectory();
        File.Copy(Path.Combine(AppContext.BaseDirectory, "Golden", "store-v1.db"), directory[RunStore.FileName]);
        await using var store = await RunStore.OpenAsync(directory.Path, TimeProvider.System, NullLogger<RunStore>.Instance, cancel);

        var run = Assert.Single(await store.ListAsync(10, null, cancel));
        Examples.AssertSame(Examples.Header("0195a0d000007000800000000000000a", permit: Examples.Permit), run.Header);
        Assert.Equal(RunState.Tripped, run.State);
        Assert.Equal(Examples.Started.AddSeconds(4), run.EndedUtc);
        Assert.Equal(
            [new Trip(TripCause.GridCurrent, true, "grid current 8.2 mA", "8 mA", Examples.Started.AddSeconds(3), new RigTime(3_000_000))], run.Trips);
        Assert.Equal([new Gap(0, 21, 170, "tripped")], run.Gaps);
        // The bytes of the blocks themselves are held fixed by block-v1.bin.
        var blocks = await store.ReadBlocksAsync(run.Header.Id, 0, cancel).ToListAsync(cancel);
        Assert.Equal([0L, 1L, 2L], blocks.Select(b => b.Sequence));
        Assert.Equal(run.Samples, blocks.Sum(b => b.Block.Count));
        for (var i = 0; i < blocks.Count; i++) Examples.AssertSame(Examples.Block(i), blocks[i].Block);
    }
}
