using System.Diagnostics;
using Microsoft.Extensions.Logging.Abstractions;
using SweepRig.Domain.Runs;
using SweepRig.Rigs.Calibration;
using SweepRig.Storage;
using SweepRig.Storage.Blocks;
using SweepRig.Sweeps.Running;
using static SweepRig.Benchmarks.FigureLine;

namespace SweepRig.Benchmarks.Stores;

/// <summary>
/// Samples of five channels that the recording task of a run takes and shows, in frames of 6 as a link brings them, each on disk before it is shown. A viewer
/// asks the store, through a connection of its own, for blocks as it is shown them. Beside it the same bytes go into a plain file, flushed to the disk as often.
/// </summary>
internal static class RecordingRateFigure
{
    private const double Seconds = 20;
    private const int MostWaiting = 8_000;

    public static async Task<FigureLine> MeasureAsync()
    {
        var directory = Directory.CreateTempSubdirectory("sweeprig-rate-").FullName;
        try
        {
            var header = StoredSweeps.Header(0, "SKUA-014");
            var blocks = new StoredSweeps().Blocks(0);
            var calibrator = new Calibrator(header.Rig, header.Calibration, header.Plan.Connection);
            var measured = Array.ConvertAll(blocks, b => new MeasuredBlock(b, calibrator.Convert(b), header.StartedUtc));
            await using var store = await OpenAsync(directory);
            await using var beside = await OpenAsync(directory);
            var (rate, groups, asked, missing) = await RecordAsync(store, beside, header, measured);
            var plain = Plain(Path.Combine(directory, "plain"), blocks, groups);
            return new(
                "recording-rate",
                $"{Text(rate, "0")} samples/s for {Text(Seconds, "0")} s; of {asked} blocks asked for when shown {missing} were not there",
                ">= 200000 samples/s sustained to SQLite, each block durable before it is shown",
                $"a plain file flushed as often, {Text(groups / Seconds, "0")} times a second: {Text(plain, "0")} samples/s, ratio {Text(rate / plain, "0.00")}",
                rate >= 200_000 && asked > 100 && missing == 0);
        }
        finally
        {
            Directory.Delete(directory, recursive: true);
        }
    }

    private static async Task<(double Rate, int Groups, long Asked, long Missing)> RecordAsync(RunStore store, RunStore beside, RunHeader header, MeasuredBlock[] blocks)
    {
        var feed = new LiveFeed();
        using var viewer = feed.Subscribe(capacity: 1);
        long samples = 0, asked = 0, missing = 0;
        var groups = 0;
        Exception? failed = null;
        var pump = new RecordingPump(
            await store.BeginAsync(header, CancellationToken.None), feed, "rig-1", TimeProvider.System,
            recorded =>
            {
                Interlocked.Add(ref samples, recorded);
                Interlocked.Increment(ref groups);
            },
            fault => failed = fault);
        var watching = Task.Run(async () =>
        {
            await foreach (var update in viewer.ReadAllAsync(CancellationToken.None))
            {
                if (update is not LiveUpdate.Block shown) continue;
                asked++;
                await using var found = beside.ReadBlocksAsync(shown.RunId, shown.Sequence, CancellationToken.None).GetAsyncEnumerator();
                if (!await found.MoveNextAsync() || found.Current.Sequence != shown.Sequence) missing++;
                // Rarely enough that the viewer does not take the processor from the recording.
                await Task.Delay(TimeSpan.FromMilliseconds(20), TimeProvider.System);
            }
        });
        var clock = Stopwatch.StartNew();
        for (var i = 0; clock.Elapsed.TotalSeconds < Seconds && failed is null; i++)
        {
            if (pump.Waiting > MostWaiting) await Task.Delay(TimeSpan.FromMilliseconds(1), TimeProvider.System);
            pump.Append(blocks[i % blocks.Length]);
        }
        await pump.CloseAsync();
        var seconds = clock.Elapsed.TotalSeconds;
        viewer.Dispose();
        await watching;
        return failed is null ? (samples / seconds, groups, asked, missing) : throw new InvalidOperationException("The recording failed.", failed);
    }

    private static double Plain(string path, SampleBlock[] blocks, int groups)
    {
        var cells = Array.ConvertAll(blocks, BlockBlob.Encode);
        using var file = new FileStream(path, FileMode.CreateNew, FileAccess.Write, FileShare.None, 1 << 16);
        var between = TimeSpan.FromSeconds(Seconds / groups);
        long samples = 0;
        var clock = Stopwatch.StartNew();
        for (var (i, next) = (0, between); clock.Elapsed.TotalSeconds < Seconds; i++)
        {
            file.Write(cells[i % cells.Length]);
            samples += blocks[i % blocks.Length].Count;
            if (clock.Elapsed < next) continue;
            file.Flush(flushToDisk: true);
            next = clock.Elapsed + between;
        }
        file.Flush(flushToDisk: true);
        return samples / clock.Elapsed.TotalSeconds;
    }

    private static Task<RunStore> OpenAsync(string directory) => RunStore.OpenAsync(directory, TimeProvider.System, NullLogger<RunStore>.Instance, CancellationToken.None);
}
