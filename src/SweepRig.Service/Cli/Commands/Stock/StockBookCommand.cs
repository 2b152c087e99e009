using System.CommandLine;
using SweepRig.Domain.Stock;
using SweepRig.Service.Cli.Commands.Types;
using SweepRig.Service.Cli.Parsing;
using SweepRig.Service.Contract;
using SweepRig.Service.Stock;

namespace SweepRig.Service.Cli.Commands.Stock;

/// <summary>Books tubes in under numbers that follow.</summary>
public static class StockBookCommand
{
    public static Command Build(CliContext context)
    {
        var command = new ExampledCommand(
            "book", "Books tubes in: a new lot, or more of one. Each gets the number that follows; write it on the tube.",
            new Example("sweeprig stock book Skua --type EF91 --count 40 --origin \"coast radio station\" --price \"40 EUR\"", "A lot of one type."),
            new Example("sweeprig stock book \"Petrel, mixed box\" --prefix PETREL --count 25", "A mixed lot; identify its tubes as you read them."));
        var lot = new Argument<string>("LOT") { Description = $"Name of the lot, up to {Lot.LongestName} characters" };
        var count = Bounded.Whole("--count", "N", "How many tubes", 1, Lot.MostTubes, "tubes", "Count them again.");
        count.Required = true;
        var type = Bounded.Text("--type", "TYPE", "Type of all of them (default: mixed)", 20, "Give the registered designation.");
        var prefix = Bounded.Text("--prefix", "LETTERS", "What their numbers begin with (default: letters and digits of the lot's name)", Lot.LongestPrefix, "Choose a shorter one.");
        var origin = Bounded.Text("--origin", "TEXT", "Where they come from", TubeChange.LongestText, "Make it shorter.");
        var price = Bounded.Text("--price", "TEXT", "What they cost, with the currency", TubeChange.LongestText, "Make it shorter.");
        var note = Bounded.Text("--note", "TEXT", "Anything else about the lot", TubeChange.LongestText, "Make it shorter.");
        var place = Bounded.Text("--place", "TEXT", "Box or drawer that they go into", TubeChange.LongestText, "Make it shorter.");
        var (json, data) = (SharedOptions.Json(), SharedOptions.Data());
        command.Add(lot);
        foreach (var option in new Option[] { count, type, prefix, origin, price, note, place, data, json }) command.Add(option);
        command.SetAction(async (parsed, cancellation) =>
        {
            var booking = new Booking(
                parsed.GetValue(lot)!, parsed.GetValue(type), parsed.GetValue(prefix), parsed.GetValue(origin), parsed.GetValue(price), parsed.GetValue(note));
            var types = TypesCommand.Catalogue(context, parsed.GetValue(data));
            await using var runs = await RunsCommand.MakeAsync(context, parsed.GetValue(data), cancellation);
            var store = StockCommand.Of(context, runs);
            var wanted = await booking.LotAsync(store, types, context.Time, cancellation);
            var booked = await store.BookAsync(wanted, parsed.GetValue(count)!.Value, parsed.GetValue(place), cancellation);
            if (!booked.IsAccepted)
            {
                context.Tell(booked.Refusals, parsed.GetValue(json), ExitCode.BadInput);
                return ExitCode.BadInput;
            }
            var tubes = booked.Value;
            if (parsed.GetValue(json)) CliJson.Write(context.Terminal, tubes.Select(StockTubeView.Of));
            else
            {
                context.Terminal.Line(tubes.Count == 1 ? $"Booked in: {tubes[0].Label}." : $"Booked in: {tubes.Count} tubes, {tubes[0].Label} to {tubes[^1].Label}.");
                foreach (var remark in booking.Remarks(types)) context.Terminal.Line(remark);
            }
            return ExitCode.Good;
        });
        return command;
    }
}
