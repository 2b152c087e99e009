using System.CommandLine;
using SweepRig.Service.Cli.Parsing;
using SweepRig.Service.Cli.Rendering;
using SweepRig.Service.Stock;

namespace SweepRig.Service.Cli.Commands.Stock;

/// <summary>How figures of a lot are spread, and which tubes stand apart.</summary>
public static class StockSummaryCommand
{
    public static Command Build(CliContext context)
    {
        var command = new ExampledCommand(
            "summary", "Shows how figures of a lot are spread, each with a histogram, and which tubes stand apart.",
            new Example("sweeprig stock summary Skua", "Switching drive, VOL and cut-off drive in pentode connection."),
            new Example("sweeprig stock summary Skua --of health.current-at-zero,fit.perveance", "By the screening, and by the fitted tube."),
            new Example("sweeprig stock summary Skua --of pentode.vol,triode.vol --scatter", "Both over each other."))
        {
            Notes = QuantityHelp.Lines,
        };
        var lot = new Argument<string>("LOT") { Description = "Name of the lot; retired tubes are left out" };
        var of = new Option<string[]>("--of") { Description = $"Quantities (default: {LotSummaries.Usual})", HelpName = "LIST" };
        var scatter = new Option<bool>("--scatter") { Description = "Draw the second quantity over the first" };
        var (json, data) = (SharedOptions.Json(), SharedOptions.Data());
        command.Add(lot);
        foreach (var option in new Option[] { of, scatter, data, json }) command.Add(option);
        command.SetAction(async (parsed, cancellation) =>
        {
            var asJson = parsed.GetValue(json);
            var named = QuantityLists.Names(parsed.GetValue(of) is { Length: > 0 } lists ? lists : [LotSummaries.Usual], "/of");
            if (!named.IsAccepted) return context.Tell(named.Refusals, asJson, ExitCode.BadInput);
            if (parsed.GetValue(scatter) && named.Value.Count < 2)
                return context.Tell([new("too-few-quantities", "/scatter", "a scatter plot of 1 quantity", "2 are needed", "Name another: --of pentode.vol,triode.vol.")], asJson, ExitCode.BadInput);
            await using var desk = await StockDesk.OpenAsync(context, parsed.GetValue(data), asJson, cancellation);
            if (desk is null) return ExitCode.BadInput;
            var reading = await desk.ReadAsync(parsed.GetValue(lot)!, StockQuantities.SourcesOf(named.Value.Select(q => q.Word)), cancellation);
            if (!reading.IsAccepted) return context.Tell(reading.Refusals, asJson, ExitCode.BadInput);
            var summary = LotSummaries.Of(reading.Value, named.Value);
            if (asJson)
            {
                CliJson.Write(context.Terminal, summary);
                return ExitCode.Good;
            }
            context.Terminal.Lines(LotSummaryText.Lines(summary, context.Terminal.Width, context.Terminal.OutInk));
            if (!parsed.GetValue(scatter)) return ExitCode.Good;
            context.Terminal.Line();
            context.Terminal.Lines(LotSummaryText.Scatter(LotSummaries.Figures(reading.Value, named.Value), context.Terminal.Width));
            return ExitCode.Good;
        });
        return command;
    }
}
