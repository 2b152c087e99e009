using System.IO.Compression;
using SweepRig.Domain.Rigs.Documents;
using SweepRig.Domain.Runs;
using SweepRig.Domain.Stock;

namespace SweepRig.Storage.Archives;

/// <summary>What is to go into an archive. Empty lists stand for all; a run or tube that any list names goes in.</summary>
/// <param name="Lots">Names.</param>
/// <param name="Tubes">Numbers.</param>
/// <param name="Runs">Ids.</param>
public sealed record ArchiveSelection(IReadOnlyList<string> Lots, IReadOnlyList<string> Tubes, IReadOnlyList<string> Runs)
{
    public bool IsAll => Lots.Count + Tubes.Count + Runs.Count == 0;
}

/// <param name="Runs">Ids of the runs in it.</param>
/// <param name="LeftOut">Ids of runs that are still being recorded, and so were left out.</param>
/// <param name="Lots">Lots of which it has tubes.</param>
/// <param name="Tubes">Tubes in it, with their histories.</param>
/// <param name="Calibrations">Ids of calibrations in it.</param>
/// <param name="Types">Documents of types in it.</param>
public sealed record WrittenArchive(IReadOnlyList<string> Runs, IReadOnlyList<string> LeftOut, int Lots, int Tubes, IReadOnlyList<string> Calibrations, int Types);

/// <summary>Writes runs, with all that is needed to repeat and re-judge them, into one file. One run at a time is in memory.</summary>
public sealed class ArchiveWriter(RunStore runs, StockStore stock, CalibrationStore calibrations, TimeProvider clock)
{
    private const int Page = 200;

    /// <param name="to">Need not be seekable; stays open.</param>
    /// <param name="what">What goes in.</param>
    /// <param name="typeDocument">The document of a type by its name; null where none is known.</param>
    /// <param name="softwareVersion">Of this program.</param>
    /// <param name="progress">Runs written so far, and of how many.</param>
    /// <param name="cancellationToken">Ends it; what was written is then no archive.</param>
    public async Task<WrittenArchive> WriteAsync(
        Stream to, ArchiveSelection what, Func<string, string?> typeDocument, string softwareVersion, Action<int, int>? progress, CancellationToken cancellationToken)
    {
        ArgumentNullException.ThrowIfNull(what);
        ArgumentNullException.ThrowIfNull(typeDocument);
        var chosen = await ChosenAsync(what, cancellationToken).ConfigureAwait(false);
        var parts = new List<ArchivePart>();
        using var zip = new ZipArchive(to, ZipArchiveMode.Create, leaveOpen: true);
        await AddAsync(zip, parts, ArchiveText.FileName, System.Text.Encoding.ASCII.GetBytes(ArchiveText.Text.ReplaceLineEndings("\r\n")), cancellationToken).ConfigureAwait(false);
        List<string> written = [], leftOut = [];
        HashSet<string> rigs = new(StringComparer.Ordinal), types = new(StringComparer.Ordinal), labels = new(what.Tubes, StringComparer.Ordinal);
        foreach (var id in chosen)
        {
            if (await runs.FindAsync(id, cancellationToken).ConfigureAwait(false) is not { } run) continue;
            if (run.State == RunState.Running)
            {
                leftOut.Add(id);
                continue;
            }
            await AddAsync(zip, parts, $"runs/{id}.json", ArchiveDocuments.Write(run), cancellationToken).ConfigureAwait(false);
            await AddAsync(zip, parts, $"runs/{id}.codes.csv", stream => CodesCsv.WriteAsync(runs.ReadBlocksAsync(id, 0, cancellationToken), stream, cancellationToken)).ConfigureAwait(false);
            rigs.Add(run.Header.Rig.SerialNumber);
            types.Add(run.Header.Tube.TypeName);
            labels.Add(TubeNumber.Split(run.Header.Tube.Label).Label);
            written.Add(id);
            progress?.Invoke(written.Count, chosen.Count);
        }
        var kept = (await calibrations.ListAsync(null, cancellationToken).ConfigureAwait(false)).Where(c => rigs.Contains(c.RigSerialNumber)).ToArray();
        for (var i = 0; i < kept.Length; i++)
            await AddAsync(zip, parts, Numbered("calibrations", i), System.Text.Encoding.UTF8.GetBytes(CalibrationDocument.Write(kept[i])), cancellationToken).ConfigureAwait(false);
        var lots = await LotsAsync(what, labels, cancellationToken).ConfigureAwait(false);
        await AddAsync(zip, parts, ArchivedStock.FileName, ArchiveDocuments.Write(new ArchivedStock(ArchivedStock.CurrentFormat, [.. lots.Select(l => ArchiveDocuments.Of(l.Lot, l.Tubes))])), cancellationToken).ConfigureAwait(false);
        types.UnionWith(lots.SelectMany(l => l.Tubes).Select(t => t.TypeName).OfType<string>());
        var documents = types.Order(StringComparer.Ordinal).Select(typeDocument).OfType<string>().Distinct().ToArray();
        for (var i = 0; i < documents.Length; i++)
            await AddAsync(zip, parts, Numbered("types", i), System.Text.Encoding.UTF8.GetBytes(documents[i]), cancellationToken).ConfigureAwait(false);
        await AddAsync(zip, [], ArchiveManifest.FileName, ArchiveDocuments.Write(new ArchiveManifest(ArchiveManifest.CurrentFormat, softwareVersion, clock.GetUtcNow(), parts)), cancellationToken).ConfigureAwait(false);
        return new(written, leftOut, lots.Count, lots.Sum(l => l.Tubes.Count), [.. kept.Select(c => c.Id)], documents.Length);
    }

    private static string Numbered(string folder, int place) => FormattableString.Invariant($"{folder}/{place + 1:0000}.json");

    // The oldest first, so that the same stock gives the same order.
    private async Task<IReadOnlyList<string>> ChosenAsync(ArchiveSelection what, CancellationToken cancellationToken)
    {
        List<string> ids = [];
        string? olderThan = null;
        while (await runs.ListAsync(Page, olderThan, cancellationToken).ConfigureAwait(false) is { Count: > 0 } page)
        {
            ids.AddRange(page.Where(r => IsChosen(what, r.Header)).Select(r => r.Header.Id));
            olderThan = page[^1].Header.Id;
        }
        ids.Reverse();
        return ids;
    }

    private static bool IsChosen(ArchiveSelection what, RunHeader run) =>
        what.IsAll || what.Runs.Contains(run.Id) || what.Tubes.Contains(TubeNumber.Split(run.Tube.Label).Label) || (run.Tube.Lot is { } lot && what.Lots.Contains(lot));

    private async Task<IReadOnlyList<(Lot Lot, IReadOnlyList<StockTube> Tubes)>> LotsAsync(ArchiveSelection what, HashSet<string> labels, CancellationToken cancellationToken)
    {
        List<(Lot, IReadOnlyList<StockTube>)> lots = [];
        var tubes = (await stock.TubesAsync(null, cancellationToken).ConfigureAwait(false)).ToLookup(t => t.Lot);
        foreach (var (lot, _) in await stock.LotsAsync(cancellationToken).ConfigureAwait(false))
        {
            var whole = what.IsAll || what.Lots.Contains(lot.Name);
            StockTube[] taken = [.. tubes[lot.Name].Where(t => whole || labels.Contains(t.Label))];
            if (whole || taken.Length > 0) lots.Add((lot, taken));
        }
        return lots;
    }

    private static Task AddAsync(ZipArchive zip, List<ArchivePart> parts, string name, byte[] bytes, CancellationToken cancellationToken) =>
        AddAsync(zip, parts, name, async stream => await stream.WriteAsync(bytes, cancellationToken).ConfigureAwait(false));

    private static async Task AddAsync(ZipArchive zip, List<ArchivePart> parts, string name, Func<Stream, Task> write)
    {
        using var packed = zip.CreateEntry(name, CompressionLevel.Optimal).Open();
        using var measured = new MeasuredStream(packed, long.MaxValue, () => new InvalidOperationException("SweepRig bug: a part has no end."));
        await write(measured).ConfigureAwait(false);
        parts.Add(new(name, measured.Bytes, measured.Sha256));
    }
}
