using System.Globalization;
using CsvHelper;
using CsvHelper.Configuration;
using SweepRig.Domain.Stock;
using SweepRig.Service.Contract;

namespace SweepRig.Service.Stock.Csv;

/// <summary>
/// The stock as a table (RFC 4180, UTF-8, CRLF): a line for each change of each tube, the oldest first, so that nothing of a history is lost on the way out and in again. Runs and
/// calibrations are not in it.
/// </summary>
public static class StockCsv
{
    public const string Tube = "tube", LotName = "lot", Change = "change", Text = "text", At = "at", LotType = "lot type", Origin = "origin", Price = "price", LotNote = "lot note", LotBooked = "lot booked",
        Type = "type", Place = "place", Note = "note";

    /// <summary>Columns of the whole history.</summary>
    public static IReadOnlyList<string> HistoryColumns { get; } = [Tube, LotName, Change, Text, At, LotType, Origin, Price, LotNote, LotBooked];

    /// <summary>Columns of a plain list of tubes that come in new; the first two are needed.</summary>
    public static IReadOnlyList<string> ListColumns { get; } = [Tube, LotName, Type, Place, Note, Origin, Price, LotNote];

    // For reading any end of a line is good, and none is named; for writing it is CRLF.
    internal static CsvConfiguration Settings => new(CultureInfo.InvariantCulture) { Mode = CsvMode.RFC4180 };

    /// <summary>Writes tubes with their whole history; what a lot is stands in the line that books a tube in.</summary>
    /// <returns>Lines written, the header counted.</returns>
    public static int Write(TextWriter writer, IReadOnlyList<Lot> lots, IReadOnlyList<StockTube> tubes)
    {
        var byName = lots.ToDictionary(l => l.Name);
        var settings = Settings;
        settings.NewLine = "\r\n";
        using var csv = new CsvWriter(writer, settings, leaveOpen: true);
        Line(csv, HistoryColumns);
        var lines = 1;
        foreach (var tube in tubes)
        {
            foreach (var change in tube.History)
            {
                var lot = change.Kind == TubeChangeKind.Booked ? byName[tube.Lot] : null;
                Line(csv, [
                    tube.Label, tube.Lot, StockWords.Word(change.Kind), change.Text, Time(change.AtUtc), lot?.TypeName, lot?.Origin, lot?.Price, lot?.Note, lot is null ? null : Time(lot.BookedUtc),
                ]);
                lines++;
            }
        }
        return lines;
    }

    internal static DateTimeOffset? Time(string text) => DateTimeOffset.TryParseExact(
        text, "yyyy-MM-dd'T'HH:mm:ss.FFFFFFFK", CultureInfo.InvariantCulture, DateTimeStyles.AssumeUniversal | DateTimeStyles.AdjustToUniversal, out var time) ? time : null;

    private static string Time(DateTimeOffset time) => time.UtcDateTime.ToString("yyyy-MM-dd'T'HH:mm:ss.FFFFFFF'Z'", CultureInfo.InvariantCulture);

    private static void Line(CsvWriter csv, IReadOnlyList<string?> fields)
    {
        foreach (var field in fields) csv.WriteField(field);
        csv.NextRecord();
    }
}
