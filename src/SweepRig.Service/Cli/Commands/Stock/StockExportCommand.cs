using System.CommandLine;
using System.Text;
using SweepRig.Domain;
using SweepRig.Domain.Stock;
using SweepRig.Service.Cli.Parsing;
using SweepRig.Service.Live;
using SweepRig.Service.Stock.Csv;

namespace SweepRig.Service.Cli.Commands.Stock;

/// <summary>Writes tubes with their whole history as a table.</summary>
public static class StockExportCommand
{
    public static Command Build(CliContext context)
    {
        var command = new ExampledCommand(
            "export", "Writes lots and tubes with their whole history as CSV (RFC 4180): a line for each change, so that import gives the same stock again. Runs are not in it.",
            new Example("sweeprig stock export --to stock.csv", "All of the stock."),
            new Example("sweeprig stock export --lot Skua --to skua.csv", "One lot, for another bench."));
        var to = new Option<string?>("--to") { Description = "CSV file to write (default: standard output)", HelpName = "FILE" };
        var lot = Bounded.Text("--lot", "LOT", "Only tubes of this lot", Lot.LongestName, "Give its name.");
        var (json, data) = (SharedOptions.Json(), SharedOptions.Data());
        foreach (var option in new Option[] { to, lot, data, json }) command.Add(option);
        command.Validators.Add(result =>
        {
            if (result.GetValue(json) && result.GetValue(to) is null) result.AddError("--json without --to: both would be written to standard output. Give --to FILE.");
        });
        command.SetAction(async (parsed, cancellation) =>
        {
            await using var runs = await RunsCommand.OpenAsync(context, parsed.GetValue(data), cancellation);
            var stock = runs is null ? null : StockCommand.Of(context, runs);
            var tubes = stock is null ? [] : await stock.TubesAsync(parsed.GetValue(lot), cancellation);
            if (stock is null || tubes.Count == 0)
            {
                var asked = parsed.GetValue(lot) is { } name ? $"lot {name} is to be written" : "the stock is to be written";
                return context.Tell([new Refusal("nothing-to-export", "", asked, "the stock has no tubes like that", "See sweeprig stock list --lots.")], parsed.GetValue(json), ExitCode.BadInput);
            }
            Lot[] lots = [.. (await stock.LotsAsync(cancellation)).Select(l => l.Lot)];
            if (parsed.GetValue(to) is not { } file)
            {
                StockCsv.Write(context.Terminal.Out, lots, tubes);
                return ExitCode.Good;
            }
            var lines = 0;
            await RecordedRun.WriteFileAsync(file, async (Stream stream) =>
            {
                await using var writer = new StreamWriter(stream, new UTF8Encoding(false), leaveOpen: true);
                lines = StockCsv.Write(writer, lots, tubes);
            });
            if (parsed.GetValue(json)) CliJson.Write(context.Terminal, new { File = file, Tubes = tubes.Count, Lines = lines });
            else context.Terminal.Line($"{(tubes.Count == 1 ? "1 tube" : $"{tubes.Count} tubes")} in {lines} lines: {file}.");
            return ExitCode.Good;
        });
        return command;
    }
}
