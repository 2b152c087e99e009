using System.Diagnostics;
using Microsoft.Extensions.Logging.Abstractions;
using SweepRig.Domain.Runs;
using SweepRig.Storage;
using SweepRig.Storage.Moving;
using SweepRig.Storage.Tests.Support;
using static SweepRig.Benchmarks.FigureLine;

namespace SweepRig.Benchmarks.Stores;

/// <summary>
/// Lists, opening and room of a store of 100,000 runs, on SQLite and on PostgreSQL. The second is filled by moving the first there, which compares every row.
/// </summary>
internal static class StoreScaleFigure
{
    private const int Runs = 100_000, Recorded = 200, Page = 50, Times = 40;

    public static async Task<FigureLine> MeasureAsync()
    {
        var directory = Directory.CreateTempSubdirectory("sweeprig-scale-").FullName;
        await using var server = new PostgresServer();
        try
        {
            await using var file = await OpenAsync(new(Path.Combine(directory, "file")));
            var clock = Stopwatch.StartNew();
            await FilledStore.FillAsync(file, Runs);
            await Console.Error.WriteLineAsync($"filled in {clock.Elapsed.TotalSeconds:0} s");
            await using var shared = await OpenAsync(new(Path.Combine(directory, "shared"), await server.NewDatabaseAsync()));
            clock.Restart();
            var moved = await StoreMove.RunAsync(file, shared, null, CancellationToken.None);
            if (!moved.IsAccepted) throw new InvalidOperationException(moved.Refusals[0].ToString());
            var moving = clock.Elapsed.TotalSeconds;
            var (sqlite, postgres) = (await MeasureAsync(file), await MeasureAsync(shared));
            await using var recorded = await OpenAsync(new(Path.Combine(directory, "recorded")));
            var one = await RecordAsync(recorded);
            return new(
                "store-scale",
                $"SQLite {sqlite}; PostgreSQL {postgres}",
                "p95 of the first page of any list < 100 ms, of opening a run < 50 ms, room <= 1.3 times the raw codes, with 100,000 runs of 512 points",
                $"{Recorded} runs recorded one by one take {Text(one)} times their codes; moving all to PostgreSQL and comparing took {Text(moving, "0")} s",
                sqlite.Met && postgres.Met);
        }
        finally
        {
            Directory.Delete(directory, recursive: true);
        }
    }

    private sealed record Measured(double ListMilliseconds, string List, double OpenMilliseconds, double Room)
    {
        public bool Met => ListMilliseconds < 100 && OpenMilliseconds < 50 && Room <= 1.3;

        public override string ToString() => $"lists {Text(ListMilliseconds, "0.0")} ms ({List}), open {Text(OpenMilliseconds, "0.0")} ms, room {Text(Room)}";
    }

    private static async Task<Measured> MeasureAsync(RunStore store)
    {
        var random = new Random(3);
        string AnyId() => Guid.CreateVersion7(StoredSweeps.Started.AddSeconds(20 * random.Next(Runs))).ToString("N");
        var stock = new StockStore(store, TimeProvider.System);
        var none = CancellationToken.None;
        (string Name, Func<Task<int>> Ask)[] lists =
        [
            ("runs", async () => (await store.ListAsync(Page, null, none)).Count),
            ("runs before one", async () => (await store.ListAsync(Page, AnyId(), none)).Count),
            ("sweeps", async () => (await store.ListAsync(Page, null, RunKind.Sweep, none)).Count),
            ("screenings", async () => (await store.ListAsync(Page, null, RunKind.Screening, none)).Count),
            ("screenings before one", async () => (await store.ListAsync(Page, AnyId(), RunKind.Screening, none)).Count),
            ("runs of a tube", async () => (await store.OfTubeAsync(FilledStore.Label(random.Next(Runs)), none)).Count),
            ("tubes of a lot", async () => (await stock.TubesAsync($"Lot {random.Next(FilledStore.Lots)}", none)).Count),
            ("tubes", async () => (await stock.TubesAsync(null, none)).Count),
            ("lots", async () => (await stock.LotsAsync(none)).Count),
        ];
        var worst = (Milliseconds: 0.0, Name: "");
        foreach (var (name, ask) in lists)
        {
            var p95 = await PercentileAsync(Times, ask);
            await Console.Error.WriteLineAsync($"{store.Name}: {name} {p95:0.0} ms");
            if (p95 > worst.Milliseconds) worst = (p95, name);
        }
        // Ids are random in their second half, so that they are taken from the list.
        var ids = (await store.ListAsync(2_000, AnyId(), none)).Select(r => r.Header.Id).ToArray();
        var open = await PercentileAsync(200, async () =>
        {
            var id = ids[random.Next(ids.Length)];
            var run = await store.FindAsync(id, none) ?? throw new InvalidOperationException($"Run {id} is gone.");
            var samples = 0;
            await foreach (var block in store.ReadBlocksAsync(id, 0, none)) samples += block.Block.Count;
            return samples == run.Samples ? samples : throw new InvalidOperationException($"Run {id} has {samples} samples of {run.Samples}.");
        });
        var facts = await StoreFacts.OfAsync(store, none);
        return new(worst.Milliseconds, worst.Name, open, facts.Bytes / (double)(facts.Runs * StoredSweeps.RawBytes));
    }

    private static async Task<double> PercentileAsync(int times, Func<Task<int>> ask)
    {
        // The first compiles what the others use.
        if (await ask() == 0) throw new InvalidOperationException("A list is empty that should not be.");
        var milliseconds = new List<double>();
        for (var i = 0; i < times; i++)
        {
            var clock = Stopwatch.GetTimestamp();
            await ask();
            milliseconds.Add(Stopwatch.GetElapsedTime(clock).TotalMilliseconds);
        }
        return Percentile.Of(milliseconds, 95);
    }

    private static async Task<double> RecordAsync(RunStore store)
    {
        var sweeps = new StoredSweeps();
        for (var run = 0; run < Recorded; run++)
        {
            var header = StoredSweeps.Header(run, FilledStore.Label(run));
            await using var recording = await store.BeginAsync(header, CancellationToken.None);
            foreach (var some in sweeps.Blocks(run).Chunk(10)) await recording.AppendAsync(some, CancellationToken.None);
            await recording.EndAsync(RunState.Complete, header.StartedUtc.AddSeconds(4), CancellationToken.None);
        }
        return (await StoreFacts.OfAsync(store, CancellationToken.None)).Bytes / (double)(Recorded * StoredSweeps.RawBytes);
    }

    private static Task<RunStore> OpenAsync(StorePlace place) => RunStore.OpenAsync(place, TimeProvider.System, NullLogger<RunStore>.Instance, CancellationToken.None);
}
