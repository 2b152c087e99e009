using System.CommandLine;
using SweepRig.Service.Cli.Parsing;
using SweepRig.Service.Cli.Rendering;
using SweepRig.Service.Stock;

namespace SweepRig.Service.Cli.Commands.Stock;

/// <summary>Whether a tube has changed from one measurement to the next.</summary>
public static class DriftCommand
{
    public static Command Build(CliContext context)
    {
        var command = new ExampledCommand(
            "drift", "Follows a figure of a tube over all its measurements: control charts, and whether it has changed by more than the measurements can be wrong.",
            new Example("sweeprig drift SKUA-014", "The switching drive in pentode connection."),
            new Example("sweeprig drift SKUA-014 --of pentode.vol --weight 0.2", "VOL; the moving average remembers longer."),
            new Example("sweeprig drift SKUA-014 --baseline 5", "Limits from the first five, when it was known to be at rest."),
            new Example("sweeprig drift SKUA-014 --of health.current-at-zero", "From one screening to the next."))
        {
            Notes = QuantityHelp.Lines,
        };
        var label = StockCommand.LabelArgument();
        var of = new Option<string?>("--of") { Description = $"A level or a figure of the screening (default: {TubeDrift.UsualQuantity})", HelpName = "QUANTITY" };
        var weight = Bounded.Number("--weight", "W", "Weight of the newest value in the moving average (default: 0.3)", 0, 1, "", "Give 0.2 to 0.3, as is usual.", aboveMin: true);
        var baseline = Bounded.Whole("--baseline", "N", "Make centre and limits from so many of the first measurements (default: all)", 2, TubeDrift.MostPoints, "measurements", "Leave it out for all.");
        var (json, data) = (SharedOptions.Json(), SharedOptions.Data());
        command.Add(label);
        foreach (var option in new Option[] { of, weight, baseline, data, json }) command.Add(option);
        command.SetAction(async (parsed, cancellation) =>
        {
            var asJson = parsed.GetValue(json);
            var quantity = StockQuantities.Find(parsed.GetValue(of) ?? TubeDrift.UsualQuantity, "/of");
            if (!quantity.IsAccepted) return context.Tell(quantity.Refusals, asJson, ExitCode.BadInput);
            await using var desk = await StockDesk.OpenAsync(context, parsed.GetValue(data), asJson, cancellation);
            if (desk is null) return ExitCode.BadInput;
            if (await desk.FindAsync(parsed.GetValue(label)!, asJson, cancellation) is not { } tube) return ExitCode.BadInput;
            var drift = await TubeDrift.ReadAsync(desk.Runs, desk.Shelf, tube.Label, quantity.Value, parsed.GetValue(weight) ?? TubeDrift.UsualWeight, parsed.GetValue(baseline), cancellation);
            if (!drift.IsAccepted) return context.Tell(drift.Refusals, asJson, ExitCode.BadInput);
            if (asJson) CliJson.Write(context.Terminal, drift.Value);
            else context.Terminal.Lines(DriftText.Lines(drift.Value, context.Terminal.Width, context.Terminal.OutInk));
            return ExitCode.Good;
        });
        return command;
    }
}
