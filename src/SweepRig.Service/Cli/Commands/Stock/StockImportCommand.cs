using System.CommandLine;
using System.Text;
using SweepRig.Domain;
using SweepRig.Service.Cli.Commands.Types;
using SweepRig.Service.Cli.Parsing;
using SweepRig.Service.Cli.Rendering;
using SweepRig.Service.Stock.Csv;
using SweepRig.Storage;

namespace SweepRig.Service.Cli.Commands.Stock;

/// <summary>Takes tubes into the stock from a table.</summary>
public static class StockImportCommand
{
    public static Command Build(CliContext context)
    {
        var command = new ExampledCommand(
            "import", $"Reads tubes from CSV (RFC 4180): what stock export wrote, with its history, or a plain list with the columns {string.Join(",", StockCsv.ListColumns)}, of which tube and lot are needed. Shows what would come in; with --apply, takes in all or nothing.",
            new Example("sweeprig stock import boxes.csv", "Look first: nothing is changed."),
            new Example("sweeprig stock import boxes.csv --apply", "All of it, or none when something is wrong."),
            new Example("printf 'tube,lot,type\\nTERN-001,Tern,EF80\\n' | sweeprig stock import -", "From a pipe."));
        var file = new Argument<string>("FILE") { Description = "CSV file, - for standard input" };
        var apply = new Option<bool>("--apply") { Description = "Take them in" };
        var (json, data) = (SharedOptions.Json(), SharedOptions.Data());
        command.Add(file);
        foreach (var option in new Option[] { apply, data, json }) command.Add(option);
        command.SetAction(async (parsed, cancellation) =>
        {
            var (path, asJson, keep) = (parsed.GetValue(file)!, parsed.GetValue(json), parsed.GetValue(apply));
            var types = TypesCommand.Catalogue(context, parsed.GetValue(data));
            var read = Read(context, path, t => types.Find(t)?.Name ?? t);
            if (!read.IsAccepted) return context.Tell(read.Refusals, asJson, ExitCode.BadInput, path);
            await using var runs = keep ? await RunsCommand.MakeAsync(context, parsed.GetValue(data), cancellation) : await RunsCommand.OpenAsync(context, parsed.GetValue(data), cancellation);
            // Without a store there is nothing that it could clash with.
            var come = runs is null ? read : await StockCommand.Of(context, runs).ImportAsync(read.Value, keep, cancellation);
            if (!come.IsAccepted) return context.Tell(come.Refusals, asJson, ExitCode.BadInput, path);
            if (asJson) CliJson.Write(context.Terminal, new { Applied = keep, Lots = Counts(come.Value).Select(c => new { c.Lot, c.Tubes, c.Changes }) });
            else Write(context, come.Value, keep);
            return ExitCode.Good;
        });
        return command;
    }

    private static Outcome<StockToCome> Read(CliContext context, string path, Func<string, string> typeName)
    {
        var now = context.Time.GetUtcNow();
        if (path == "-") return StockCsvReader.Read(context.Input, typeName, now);
        try
        {
            using var reader = new StreamReader(path, new UTF8Encoding(false, throwOnInvalidBytes: true));
            return StockCsvReader.Read(reader, typeName, now);
        }
        catch (DecoderFallbackException)
        {
            return Outcome<StockToCome>.Refuse(new Refusal("csv-not-utf8", "", "the file is not UTF-8 text", "UTF-8 is read", "Have the table written as CSV in UTF-8."));
        }
        catch (Exception fault) when (fault is IOException or UnauthorizedAccessException)
        {
            var why = fault is FileNotFoundException or DirectoryNotFoundException ? "there is no such file" : fault.Message.TrimEnd('.');
            return Outcome<StockToCome>.Refuse(new Refusal("csv-not-readable", "", "the table cannot be read", why, "Give the path of a CSV file, or - for standard input."));
        }
    }

    private static void Write(CliContext context, StockToCome come, bool applied)
    {
        var table = new TextTable(("lot", false), ("tubes", true), ("changes", true), ("from", false), ("to", false));
        foreach (var (lot, tubes, changes, first, last) in Counts(come))
            table.Row(lot, tubes.ToString(System.Globalization.CultureInfo.InvariantCulture), changes.ToString(System.Globalization.CultureInfo.InvariantCulture), first, last);
        context.Terminal.Lines(table.Lines(context.Terminal.OutInk));
        context.Terminal.Line(applied ? "All of them are in the stock." : "Nothing is changed; --apply takes them in.");
    }

    private static IEnumerable<(string Lot, int Tubes, int Changes, string First, string Last)> Counts(StockToCome come) =>
        come.Tubes.GroupBy(t => t.Lot).Select(g => (g.Key, g.Count(), g.Sum(t => t.History.Count), g.Min(t => t.Label)!, g.Max(t => t.Label)!));
}
