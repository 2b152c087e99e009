using System.IO.Compression;
using Microsoft.Extensions.Logging.Abstractions;
using SweepRig.Domain;
using SweepRig.Domain.Interlocks;
using SweepRig.Domain.Quantities;
using SweepRig.Domain.Runs;
using SweepRig.Domain.Stock;
using SweepRig.Storage.Archives;
using SweepRig.Storage.Tests.Support;

namespace SweepRig.Storage.Tests.Archives;

/// <summary>A bench with a store of its own, and what archives do to it.</summary>
internal sealed class ArchiveBench : IAsyncDisposable
{
    public static readonly Lot Skua = new("Skua", "SKUA", "6AU6", "coast radio station", "40 EUR", "one box", new(2026, 3, 1, 9, 0, 0, TimeSpan.Zero));

    private readonly TemporaryDirectory _directory = new();

    private ArchiveBench()
    {
    }

    public RunStore Runs { get; private set; } = null!;

    public StockStore Stock => new(Runs, TimeProvider.System);

    public CalibrationStore Calibrations => new(Runs, TimeProvider.System);

    private static CancellationToken Cancel => TestContext.Current.CancellationToken;

    /// <param name="server">Null for SQLite.</param>
    public static async Task<ArchiveBench> EmptyAsync(PostgresServer? server = null)
    {
        var bench = new ArchiveBench();
        bench.Runs = await RunStore.OpenAsync(new StorePlace(bench._directory.Path, server is null ? null : await server.NewDatabaseAsync()), TimeProvider.System, NullLogger<RunStore>.Instance, Cancel);
        return bench;
    }

    /// <summary>Two tubes, a calibration, a whole run, and one that tripped and has a gap.</summary>
    public static async Task<ArchiveBench> FilledAsync(PostgresServer? server = null)
    {
        var bench = await EmptyAsync(server);
        Assert.True((await bench.Stock.BookAsync(Skua, 14, "drawer 3", Cancel)).IsAccepted);
        Assert.True((await bench.Stock.ChangeAsync("SKUA-014", TubeChangeKind.Graded, "first", Cancel)).IsAccepted);
        Assert.True((await bench.Calibrations.AddAsync(Examples.Calibration, Cancel)).IsAccepted);
        await bench.RecordAsync(Examples.Header(Id(1)), RunState.Complete, [Examples.Block(0), Examples.Block(1, 60), Examples.Block(100)]);
        await bench.RecordAsync(Examples.Header(Id(2), permit: Examples.Permit) with { Calibration = Examples.Calibration }, RunState.Tripped, [Examples.Block(7)],
            new(TripCause.GridCurrent, true, "5.1 mA", "5 mA", Examples.Started.AddSeconds(3), new RigTime(1_234_567)), new Gap(0, 60, 10, "lost on the link"));
        return bench;
    }

    public static string Id(int number) => FormattableString.Invariant($"019d2f3a5b6c7d8e8f90a1b2c3d4{number:0000}");

    public async Task RecordAsync(RunHeader header, RunState state, SampleBlock[] blocks, Trip? trip = null, Gap? gap = null)
    {
        await using var run = await Runs.BeginAsync(header, Cancel);
        await run.AppendAsync(blocks, Cancel);
        if (trip is not null) await run.TripAsync(trip, Cancel);
        if (gap is not null) await run.GapsAsync([gap], Cancel);
        if (state != RunState.Running) await run.EndAsync(state, Examples.Started.AddSeconds(4), Cancel);
    }

    public async Task<byte[]> ArchiveAsync(ArchiveSelection? what = null)
    {
        using var file = new MemoryStream();
        await new ArchiveWriter(Runs, Stock, Calibrations, TimeProvider.System).WriteAsync(file, what ?? new([], [], []), type => type == "6AU6" ? """{"format": "tube-type/1"}""" : null, "0.1.0", null, Cancel);
        return file.ToArray();
    }

    public Task<Outcome<ArchiveFindings>> TakeInAsync(byte[] archive, bool keepHere = false, params (string Lot, string Here)[] names) =>
        new ArchiveReader(Runs, Stock, Calibrations).TakeInAsync(new MemoryStream(archive), new(keepHere, names.ToDictionary(n => n.Lot, n => n.Here)), null, Cancel);

    public Task<Outcome<ArchiveFindings>> LookAsync(byte[] archive) => new ArchiveReader(Runs, Stock, Calibrations).LookAsync(new MemoryStream(archive), ArchiveChoices.Usual, null, Cancel);

    /// <summary>All that is here, as parts of an archive: two benches that hold the same give the same.</summary>
    public async Task<IReadOnlyList<(string Name, string Text)>> AllAsync()
    {
        using var zip = new ZipArchive(new MemoryStream(await ArchiveAsync()), ZipArchiveMode.Read);
        return [.. zip.Entries.Where(e => e.FullName != ArchiveManifest.FileName).OrderBy(e => e.FullName, StringComparer.Ordinal).Select(e => (e.FullName, Text(e)))];
    }

    public static string Text(ZipArchiveEntry entry)
    {
        using var reader = new StreamReader(entry.Open());
        return reader.ReadToEnd();
    }

    public async ValueTask DisposeAsync()
    {
        await Runs.DisposeAsync();
        _directory.Dispose();
    }
}
