using System.Globalization;
using System.Text.Json;
using System.Text.Json.Serialization.Metadata;
using SweepRig.Domain.Interlocks;
using SweepRig.Domain.Runs;
using SweepRig.Domain.Stock;
using SweepRig.Storage.Headers;
using SweepRig.Storage.Schema;

namespace SweepRig.Storage.Archives;

/// <summary>Between the words of the domain and the JSON parts of an archive. The same record gives the same bytes, so that two can be compared.</summary>
internal static class ArchiveDocuments
{
    public static byte[] Write(RunRecord run)
    {
        var header = run.Header;
        using var plan = JsonDocument.Parse(HeaderJson.WritePlan(header.Plan));
        using var rest = JsonDocument.Parse(HeaderJson.WriteHeader(header));
        return Bytes(
            new ArchivedRun(
                ArchivedRun.CurrentFormat, header.Id, header.StartedUtc, run.EndedUtc, RunRows.Text(run.State), run.Samples,
                new(header.Tube.Label, header.Tube.TypeName, header.Tube.Lot), header.Socket, plan.RootElement, rest.RootElement,
                [.. run.Trips.Select(t => new ArchivedTrip(Word(t.Cause), t.ByRig, t.Measured, t.Limit, t.OccurredUtc, t.RigTime?.Microseconds))],
                [.. run.Gaps.Select(g => new ArchivedGap(g.Pass, g.FirstPoint, g.Points, g.Reason))]),
            ArchiveJsonContext.Default.ArchivedRun);
    }

    public static byte[] Write(ArchivedStock stock) => Bytes(stock, ArchiveJsonContext.Default.ArchivedStock);

    public static byte[] Write(ArchiveManifest manifest) => Bytes(manifest, ArchiveJsonContext.Default.ArchiveManifest);

    /// <exception cref="ArchiveException">It is damaged, or of a later format.</exception>
    public static RunRecord ReadRun(ReadOnlySpan<byte> json, string part)
    {
        var run = Read(json, ArchiveJsonContext.Default.ArchivedRun, part);
        RequireFormat(run.Format, ArchivedRun.CurrentFormat, part);
        RequireWhole(part, run.Trips, run.Gaps);
        try
        {
            var row = new RunRow
            {
                Id = run.Id, Started = RunRows.Text(run.StartedUtc), Ended = run.EndedUtc is { } ended ? RunRows.Text(ended) : null, State = run.State, Samples = run.Samples,
                TubeLabel = run.Tube.Label, TubeType = run.Tube.Type, Lot = run.Tube.Lot, Socket = run.Socket, Plan = run.Plan.GetRawText(), Header = run.Header.GetRawText(),
            };
            return RunRows.ToRecord(
                row,
                run.Trips.Select(t => new TripRow { Cause = (int)Cause(t.Cause), ByRig = t.ByRig, Measured = t.Measured, Limit = t.Limit, Occurred = RunRows.Text(t.OccurredUtc), RigMicroseconds = t.RigMicroseconds }),
                run.Gaps.Select(g => new GapRow { Pass = g.Pass, FirstPoint = g.FirstPoint, Points = g.Points, Reason = g.Reason }));
        }
        catch (Exception fault) when (fault is InvalidDataException or ArgumentException or OverflowException)
        {
            throw Damaged(part, fault.Message.TrimEnd('.'), fault);
        }
    }

    /// <inheritdoc cref="ReadRun"/>
    public static IReadOnlyList<(Lot Lot, IReadOnlyList<StockTube> Tubes)> ReadStock(ReadOnlySpan<byte> json, string part)
    {
        var stock = Read(json, ArchiveJsonContext.Default.ArchivedStock, part);
        RequireFormat(stock.Format, ArchivedStock.CurrentFormat, part);
        RequireWhole(part, stock.Lots);
        return
        [
            .. stock.Lots.Select(l =>
            {
                var lot = new Lot(l.Name, l.Prefix, l.Type, l.Origin, l.Price, l.Note, l.BookedUtc);
                if (lot.Faults().FirstOrDefault() is { } fault) throw Damaged(part, $"lot {l.Name}: {fault}");
                RequireWhole(part, [l.Tubes, .. l.Tubes.Select(t => t?.History ?? [])]);
                return (lot, (IReadOnlyList<StockTube>)[.. l.Tubes.Select(t => Tube(lot, t, part))]);
            }),
        ];
    }

    public static ArchivedLot Of(Lot lot, IEnumerable<StockTube> tubes) => new(
        lot.Name, lot.Prefix, lot.TypeName, lot.Origin, lot.Price, lot.Note, lot.BookedUtc,
        [.. tubes.Select(t => new ArchivedTube(t.Label, [.. t.History.Select(h => new ArchivedChange(h.Kind.ToString(), h.Text, h.AtUtc))]))]);

    /// <inheritdoc cref="ReadRun"/>
    public static ArchiveManifest ReadManifest(ReadOnlySpan<byte> json)
    {
        var manifest = Read(json, ArchiveJsonContext.Default.ArchiveManifest, ArchiveManifest.FileName);
        RequireFormat(manifest.Format, ArchiveManifest.CurrentFormat, ArchiveManifest.FileName);
        RequireWhole(ArchiveManifest.FileName, manifest.Parts);
        return manifest;
    }

    public static ArchiveException Damaged(string part, string what, Exception? inner = null) =>
        new("archive-part-damaged", $"{part}: {what}", "a part as SweepRig writes it", "Get another copy of the archive.", inner);

    private static StockTube Tube(Lot lot, ArchivedTube archived, string part)
    {
        if (archived.History.Count == 0 || archived.History[0].Kind != nameof(TubeChangeKind.Booked) || archived.History[0].Text != lot.Name)
            throw Damaged(part, $"the history of tube {archived.Label} does not begin with its booking into {lot.Name}");
        if (archived.Label.Length is 0 or > StockTube.LongestLabel) throw Damaged(part, $"tube number \"{archived.Label}\"");
        var tube = StockTube.Of(archived.Label, lot.Name, archived.History[0].AtUtc, archived.History.Skip(1).Select(Change));
        return tube.IsAccepted ? tube.Value : throw Damaged(part, $"the history of tube {archived.Label} does not hold together: {tube.Refusals[0]}");

        TubeChange Change(ArchivedChange change) => Enum.TryParse<TubeChangeKind>(change.Kind, out var kind) && Enum.IsDefined(kind)
            ? new(kind, change.Text, change.AtUtc)
            : throw Damaged(part, $"tube {archived.Label} has a change of the unknown kind '{change.Kind}'");
    }

    private static string Word(TripCause cause) => JsonNamingPolicy.CamelCase.ConvertName(cause.ToString());

    private static TripCause Cause(string word) =>
        Enum.GetValues<TripCause>().Cast<TripCause?>().FirstOrDefault(c => Word(c!.Value) == word) ?? throw new InvalidDataException($"trip cause '{word}' is unknown");

    private static void RequireFormat(string has, string knows, string part)
    {
        if (has == knows) return;
        var name = knows[..knows.LastIndexOf('/')];
        var newer = has.StartsWith(name + "/", StringComparison.Ordinal) && int.TryParse(has[(name.Length + 1)..], NumberStyles.None, CultureInfo.InvariantCulture, out _);
        throw newer
            ? new ArchiveException("archive-newer", $"{part} has format {has}", $"this SweepRig knows {knows}", "Use a newer SweepRig.")
            : new ArchiveException("archive-unknown-format", $"{part} has format \"{has}\"", $"{knows} is needed", "Give an archive that sweeprig archive wrote.");
    }

    // The reader of JSON takes null for a member of a list.
    private static void RequireWhole(string part, params IEnumerable<IReadOnlyList<object>> lists)
    {
        if (lists.Any(l => l.Any(item => item is null))) throw Damaged(part, "a list in it has an empty place");
    }

    private static byte[] Bytes<T>(T document, JsonTypeInfo<T> shape) => JsonSerializer.SerializeToUtf8Bytes(document, shape);

    private static T Read<T>(ReadOnlySpan<byte> json, JsonTypeInfo<T> shape, string part)
    {
        try
        {
            return JsonSerializer.Deserialize(json, shape) ?? throw Damaged(part, "it is empty");
        }
        catch (JsonException fault)
        {
            throw Damaged(part, $"no JSON of this shape, at {fault.Path ?? "$"}", fault);
        }
    }
}
