using System.CommandLine;
using System.Globalization;
using SweepRig.Domain.Stock;
using SweepRig.Service.Cli.Parsing;
using SweepRig.Service.Cli.Rendering;
using SweepRig.Service.Stock;

namespace SweepRig.Service.Cli.Commands.Stock;

/// <summary>Finds tubes that could replace one.</summary>
public static class SpareCommand
{
    private const int UsualShown = 10;

    public static Command Build(CliContext context)
    {
        var command = new ExampledCommand(
            "spare", "Finds free tubes of the same type that could replace one, so that chosen figures stay within limits; each with its probability and what stands in the way.",
            new Example("sweeprig spare SKUA-014", $"Switching drive, VOL and cut-off drive stay within {QuantityLists.UsualVolts.ToString(CultureInfo.InvariantCulture)} V of its own."),
            new Example("sweeprig spare SKUA-014 --keep pentode.vol=0.1,pentode.switching-drive=0.2", "Within these of its own values."),
            new Example("sweeprig spare SKUA-014 --keep pentode.vol=..3,pentode.switching-gain=..-8", "Within limits of the circuit: VOL at most 3 V, gain of 8 or more."))
        {
            Notes = QuantityHelp.Lines,
        };
        var label = StockCommand.LabelArgument();
        var keep = new Option<string[]>("--keep")
        {
            Description = $"What has to be kept: quantities, each with =TOLERANCE about the tube's own value or with =LOWEST..HIGHEST, of which one may be left out (default: {LotSummaries.Usual}; without a number, {QuantityLists.UsualVolts.ToString(CultureInfo.InvariantCulture)} V or a tenth of its own value)",
            HelpName = "LIST",
        };
        var lot = Bounded.Text("--lot", "LOT", "Look in this lot only", Lot.LongestName, "Give its name.");
        var most = Bounded.Whole("--most", "N", $"Show at most so many (default: {UsualShown})", 1, Lot.MostTubes, "tubes", "Ask for fewer.");
        var (json, data) = (SharedOptions.Json(), SharedOptions.Data());
        command.Add(label);
        foreach (var option in new Option[] { keep, lot, most, data, json }) command.Add(option);
        command.SetAction(async (parsed, cancellation) =>
        {
            var asJson = parsed.GetValue(json);
            await using var desk = await StockDesk.OpenAsync(context, parsed.GetValue(data), asJson, cancellation);
            if (desk is null) return ExitCode.BadInput;
            if (await desk.FindAsync(parsed.GetValue(label)!, asJson, cancellation) is not { } tube) return ExitCode.BadInput;
            var spares = await desk.SparesAsync(tube, parsed.GetValue(keep), parsed.GetValue(lot), cancellation);
            if (!spares.IsAccepted) return context.Tell(spares.Refusals, asJson, ExitCode.BadInput);
            if (asJson) CliJson.Write(context.Terminal, spares.Value);
            else context.Terminal.Lines(SparesText.Lines(spares.Value, parsed.GetValue(most) ?? UsualShown, context.Terminal.OutInk));
            return ExitCode.Good;
        });
        return command;
    }
}
