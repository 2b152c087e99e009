using SweepRig.Storage.Tests.Support;

namespace SweepRig.Storage.Tests.Disks;

/// <summary>A disk that fails, or whose power does, at every step of a whole recording.</summary>
public sealed class PowerCutTests : IDisposable
{
    private readonly TemporaryDirectory _directory = new();

    private static CancellationToken Cancel => TestContext.Current.CancellationToken;

    public void Dispose() => _directory.Dispose();

    [Fact]
    public async Task After_a_power_cut_at_any_step_all_that_was_acknowledged_is_there()
    {
        var log = _directory["history"];
        await DiskWatch.RunAsync(RecordingVictim.RecordArgument, Directory.CreateDirectory(_directory["recorded"]).FullName, log, Cancel);
        var history = DiskHistory.Read(log);
        Assert.True(history.Count > 60, $"{history.Count} steps");

        List<string> losses = [];
        var most = 0;
        foreach (var steps in history.Moments)
        {
            var place = Directory.CreateDirectory(_directory[$"cut-{steps}"]).FullName;
            var acknowledged = history.LayOut(steps, place, new Random(steps));
            most = Math.Max(most, acknowledged.Count);
            losses.AddRange((await RecordingVictim.LossesAsync(place, acknowledged)).Select(l => $"after {steps} steps: {l}"));
            Directory.Delete(place, recursive: true);
        }
        Assert.Empty(losses);
        // Each run begun, appended to and ended.
        Assert.Equal(RecordingVictim.Runs * (RecordingVictim.Appends + 2), most);
    }

    [Fact]
    public async Task A_disk_without_flushes_is_found_out()
    {
        // The check itself: were the last flush before an acknowledgement not there, something would be lost.
        var log = _directory["history"];
        await DiskWatch.RunAsync(RecordingVictim.RecordArgument, Directory.CreateDirectory(_directory["recorded"]).FullName, log, Cancel);
        var history = DiskHistory.Read(log).WithoutFlushes();
        var lost = 0;
        for (var seed = 0; seed < 6; seed++)
        {
            var place = Directory.CreateDirectory(_directory[$"cut-{seed}"]).FullName;
            var acknowledged = history.LayOut(history.Count, place, new Random(seed));
            try
            {
                lost += (await RecordingVictim.LossesAsync(place, acknowledged)).Count;
            }
            catch (RunStoreException)
            {
                lost++;
            }
        }
        Assert.NotEqual(0, lost);
    }

    [Fact]
    public async Task A_fault_of_the_disk_at_any_read_write_or_flush_is_told_and_loses_nothing_that_was_acknowledged()
    {
        var lines = (await DiskWatch.RunAsync(RecordingVictim.CountArgument, _directory.Path, null, Cancel)).Split('\n', StringSplitOptions.RemoveEmptyEntries);
        Assert.DoesNotContain(lines, l => l.StartsWith("LOST", StringComparison.Ordinal));
        foreach (var (error, least) in new[] { (5, 60), (28, 10), (30, 10) })
        {
            var of = lines.Where(l => l.StartsWith($"{error} ", StringComparison.Ordinal)).ToArray();
            Assert.True(of.Length >= least, $"Error {error}: {of.Length} calls");
            Assert.EndsWith(" done", of[^1], StringComparison.Ordinal);
        }
    }
}
