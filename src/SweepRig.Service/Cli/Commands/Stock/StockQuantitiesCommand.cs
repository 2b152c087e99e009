using System.CommandLine;
using SweepRig.Service.Cli.Parsing;
using SweepRig.Service.Contract;
using SweepRig.Service.Stock;

namespace SweepRig.Service.Cli.Commands.Stock;

/// <summary>Lists what tubes can be graded, matched, replaced and followed by.</summary>
public static class StockQuantitiesCommand
{
    public static Command Build(CliContext context)
    {
        var command = new ExampledCommand(
            "quantities", "Lists all that tubes can be graded, matched, replaced and followed by, with unit and meaning.",
            new Example("sweeprig stock quantities", "Words for grades, match, spare and drift."));
        var json = SharedOptions.Json();
        command.Add(json);
        command.SetAction(parsed =>
        {
            if (parsed.GetValue(json)) CliJson.Write(context.Terminal, new QuantityListView([.. StockQuantities.All.Select(LotSummaries.View)]));
            else context.Terminal.Lines(QuantityHelp.Lines.Skip(1).SkipLast(1));
            return ExitCode.Good;
        });
        return command;
    }
}
