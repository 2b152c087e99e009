using System.CommandLine;
using SweepRig.Domain.Stock;
using SweepRig.Service.Cli.Parsing;
using SweepRig.Storage;

namespace SweepRig.Service.Cli.Commands.Stock;

/// <summary>Lots and tubes: books in, finds, and keeps what happens to each.</summary>
public static class StockCommand
{
    public static Command Build(CliContext context)
    {
        var command = new ExampledCommand(
            "stock", "Books tubes in, lists them, and keeps the history of each. Works while a service runs, and without one.",
            new Example("sweeprig stock book Skua --type EF91 --count 40", "Forty tubes, SKUA-001 to SKUA-040."),
            new Example("sweeprig stock list --lot Skua --state new", "What has not been screened yet."),
            new Example("sweeprig stock show SKUA-014", "All that happened to a tube."))
        {
            StockBookCommand.Build(context),
            StockListCommand.Build(context),
            StockShowCommand.Build(context),
            StockSummaryCommand.Build(context),
            StockQuantitiesCommand.Build(context),
            StockLabelsCommand.Build(context),
            StockExportCommand.Build(context),
            StockImportCommand.Build(context),
            StockChangeCommand.Build(
                context, "identify", TubeChangeKind.Identified, "TYPE", "Says what type a tube is.", new("sweeprig stock identify SKUA-014 6BH6", "Read on the glass.")),
            StockChangeCommand.Build(
                context, "move", TubeChangeKind.Moved, "PLACE", "Says in which box or drawer a tube is.", new("sweeprig stock move SKUA-014 \"drawer 3\"", "So that it is found again.")),
            StockChangeCommand.Build(
                context, "use", TubeChangeKind.PutToUse, "WHERE", "Says that a tube is plugged in for good.", new("sweeprig stock use SKUA-014 \"tide clock, bit 2\"", "It is no spare any more.")),
            StockChangeCommand.Build(
                context, "free", TubeChangeKind.TakenOut, "WHY", "Says that a tube in use was pulled.", new("sweeprig stock free SKUA-014 \"swapped for a trial\"", "It is in the stock again.")),
            StockChangeCommand.Build(
                context, "retire", TubeChangeKind.Retired, "WHY", "Says that a tube is not to be used any more.", new("sweeprig stock retire SKUA-014 \"getter is white\"", "Its history stays.")),
            StockChangeCommand.Build(
                context, "return", TubeChangeKind.Returned, "WHY", "Brings a retired tube back.", new("sweeprig stock return SKUA-014 \"it was another one\"", "As far as it had come.")),
            StockChangeCommand.Build(
                context, "note", TubeChangeKind.Noted, "TEXT", "Keeps a note with a tube.", new("sweeprig stock note SKUA-014 \"pin 3 straightened\"", "Stands in its history.")),
        };
        command.SetAction(parsed => new HelpWithExamples(new System.CommandLine.Help.HelpAction(), context.Terminal.Width).Invoke(parsed));
        return command;
    }

    public static Argument<string> LabelArgument() => new("LABEL") { Description = "The number written on the tube, for example SKUA-014; upper and lower case do not matter" };

    /// <summary>As numbers are written on tubes.</summary>
    public static string Label(string typed) => TubeNumber.Of(typed).Label;

    public static string NothingIn(CliContext context, string? data) =>
        $"No tubes in {context.StoreName(data)} yet. Book some in: sweeprig stock book LOT --count N.";

    public static StockStore Of(CliContext context, RunStore runs) => new(runs, context.Time);
}
