using System.Globalization;
using Microsoft.Extensions.Logging.Abstractions;
using SweepRig.Domain.Runs;
using SweepRig.Storage.Tests.Support;

namespace SweepRig.Storage.Tests.Disks;

/// <summary>What a process under <see cref="DiskWatch"/> does: runs with a few appends each, their ends, the packing, the closing of the store.</summary>
internal static class RecordingVictim
{
    public const string RecordArgument = "--record-under-watch", CountArgument = "--count-faults";

    /// <summary>Of a recording that is written down, and of each that a fault befalls.</summary>
    public const int Runs = 2, Appends = 3, FaultyAppends = 2;

    /// <summary>
    /// Input or output error at each call; no room and a read-only file system, which come to the program by the same calls, at each fourth.
    /// </summary>
    private static readonly (int Error, int Every)[] Errors = [(5, 1), (28, 4), (30, 4)];

    /// <summary>Records once, and writes down each acknowledgement.</summary>
    public static async Task<int> RecordAsync(string directory)
    {
        await using var notes = new FileStream(Path.Combine(directory, "acknowledged"), FileMode.Create, FileAccess.Write, FileShare.Read, bufferSize: 0);
        await WorkAsync(directory, Runs, Appends, line => notes.Write(System.Text.Encoding.UTF8.GetBytes(line + "\n")));
        return 0;
    }

    /// <summary>Lets call after call fail, each in a store of its own, until one work is done without that the fault came about; says one line for each.</summary>
    public static async Task<int> CountFaultsAsync(string directory)
    {
        foreach (var (error, every) in Errors)
        {
            for (var after = 1; ; after += every)
            {
                var place = Directory.CreateDirectory(Path.Combine(directory, string.Create(CultureInfo.InvariantCulture, $"{error}-{after}"))).FullName;
                List<string> acknowledged = [];
                var told = "nothing";
                DiskWatch.Fail(after, error);
                try
                {
                    await WorkAsync(place, 1, FaultyAppends, acknowledged.Add);
                }
                catch (RunStoreException fault)
                {
                    told = fault.Message;
                }
                var failed = DiskWatch.HasFailed;
                DiskWatch.Fail(0, 0);
                await Console.Out.WriteLineAsync($"{error} {after} {(failed ? told.ReplaceLineEndings(" ") : "done")}");
                foreach (var fault in await LossesAsync(place, acknowledged)) await Console.Out.WriteLineAsync($"LOST {error} {after} {fault}");
                Directory.Delete(place, recursive: true);
                if (!failed) break;
            }
        }
        return 0;
    }

    /// <summary>Opens a store as the next start does and compares it with what was acknowledged.</summary>
    /// <returns>What is lost, one line each.</returns>
    public static async Task<IReadOnlyList<string>> LossesAsync(string directory, IReadOnlyList<string> acknowledged)
    {
        List<string> losses = [];
        await using var store = await RunStore.OpenAsync(directory, TimeProvider.System, NullLogger<RunStore>.Instance, CancellationToken.None);
        await store.MarkInterruptedAsync(CancellationToken.None);
        foreach (var line in acknowledged)
        {
            var words = line.Split(' ');
            var run = await store.FindAsync(words[1], CancellationToken.None);
            if (run is null)
            {
                losses.Add($"run {words[1]} is gone");
                continue;
            }
            if (words[0] == "ended" && run.State != RunState.Complete) losses.Add($"run {words[1]} was complete and is {run.State}");
            if (words[0] != "blocks") continue;
            var blocks = await store.ReadBlocksAsync(words[1], 0, CancellationToken.None).ToListAsync();
            var count = int.Parse(words[2], CultureInfo.InvariantCulture);
            if (blocks.Count < count) losses.Add($"run {words[1]} had {count} blocks and has {blocks.Count}");
            for (var i = 0; i < Math.Min(count, blocks.Count); i++)
                if (!blocks[i].Block.Codes[0].SequenceEqual(Examples.Block(i).Codes[0])) losses.Add($"block {i} of run {words[1]} is another");
        }
        foreach (var run in await store.ListAsync(100, null, CancellationToken.None))
        {
            var samples = (await store.ReadBlocksAsync(run.Header.Id, 0, CancellationToken.None).ToListAsync()).Sum(b => b.Block.Count);
            if (samples != run.Samples) losses.Add($"run {run.Header.Id} counts {run.Samples} samples and holds {samples}");
            if (run.State == RunState.Running) losses.Add($"run {run.Header.Id} counts as running");
        }
        return losses;
    }

    private static async Task WorkAsync(string directory, int runs, int appends, Action<string> acknowledged)
    {
        await using var store = await RunStore.OpenAsync(directory, TimeProvider.System, NullLogger<RunStore>.Instance, CancellationToken.None);
        for (var run = 0; run < runs; run++)
        {
            var header = Examples.Header();
            await using var recording = await store.BeginAsync(header, CancellationToken.None);
            acknowledged($"begun {header.Id}");
            for (var i = 0; i < appends; i++)
            {
                await recording.AppendAsync([Examples.Block(2 * i), Examples.Block(2 * i + 1)], CancellationToken.None);
                acknowledged($"blocks {header.Id} {2 * i + 2}");
            }
            await recording.EndAsync(RunState.Complete, Examples.Started.AddSeconds(9), CancellationToken.None);
            acknowledged($"ended {header.Id}");
        }
    }
}
