using System.CommandLine;
using SweepRig.Analysis.Matching;
using SweepRig.Service.Cli.Parsing;
using SweepRig.Service.Cli.Rendering;
using SweepRig.Service.Stock;

namespace SweepRig.Service.Cli.Commands.Stock;

/// <summary>Pairs the tubes of a lot, or puts them into groups.</summary>
public static class MatchCommand
{
    public static Command Build(CliContext context)
    {
        var command = new ExampledCommand(
            "match", "Pairs the tubes of a lot so that the sum of all differences is as small as it can be, and proves it; or puts them into groups.",
            new Example("sweeprig match Skua", "By switching drive, VOL and cut-off drive in pentode connection."),
            new Example("sweeprig match Skua --by triode.switching-drive,triode.vol=0.2", "In triode connection; 0.2 V of VOL count as much as one uncertainty."),
            new Example("sweeprig match Skua --worst", "First of all the pair that is least alike is to be as near as can be."),
            new Example("sweeprig match Skua --curve pentode=0.1", "By whole curves; 0.1 V of output count as 1."),
            new Example("sweeprig match Skua --size 4", "Groups of four."))
        {
            Notes = QuantityHelp.Lines,
        };
        var lot = new Argument<string>("LOT") { Description = "Name of the lot; retired tubes and tubes in use are left out" };
        var by = new Option<string[]>("--by")
        {
            Description = $"Quantities to be alike in, each with =TOLERANCE where a difference is to count as 1 (default: {LotMatching.Usual}, each over the uncertainty of the difference)",
            HelpName = "LIST",
        };
        var curve = new Option<string?>("--curve") { Description = "Be alike in whole curves instead: pentode or triode, with =TOLERANCE in volts of output if it is not to be the uncertainty", HelpName = "CONNECTION" };
        var size = Bounded.Whole("--size", "N", "Tubes of a group (default: 2)", 2, Grouping.MostMembers, "tubes", "Larger groups are hardly ever alike.");
        var worst = new Option<bool>("--worst") { Description = "Make the pair that is least alike as near as can be, and then the sum small (pairs only)" };
        var (json, data) = (SharedOptions.Json(), SharedOptions.Data());
        command.Add(lot);
        foreach (var option in new Option[] { by, curve, size, worst, data, json }) command.Add(option);
        command.SetAction(async (parsed, cancellation) =>
        {
            var asJson = parsed.GetValue(json);
            var members = parsed.GetValue(size) ?? 2;
            var choice = MatchChoice.Of(parsed.GetValue(by), parsed.GetValue(curve));
            if (!choice.IsAccepted) return context.Tell(choice.Refusals, asJson, ExitCode.BadInput);
            if (parsed.GetValue(worst) && members > 2)
                return context.Tell([new("worst-of-groups", "/worst", $"the best worst pair of groups of {members}", "it is found for pairs only", "Leave out --worst, or --size.")], asJson, ExitCode.BadInput);
            await using var desk = await StockDesk.OpenAsync(context, parsed.GetValue(data), asJson, cancellation);
            if (desk is null) return ExitCode.BadInput;
            var reading = await desk.ReadAsync(parsed.GetValue(lot)!, choice.Value.Sources, cancellation);
            if (!reading.IsAccepted) return context.Tell(reading.Refusals, asJson, ExitCode.BadInput);
            var basis = choice.Value.Basis(reading.Value, members);
            if (!basis.IsAccepted) return context.Tell(basis.Refusals, asJson, ExitCode.BadInput);
            if (members > 2)
            {
                var groups = LotMatching.Groups(basis.Value, members, cancellation);
                if (!groups.IsAccepted) return context.Tell(groups.Refusals, asJson, ExitCode.BadInput);
                if (asJson) CliJson.Write(context.Terminal, groups.Value);
                else context.Terminal.Lines(MatchText.Lines(groups.Value, context.Terminal.OutInk));
                return ExitCode.Good;
            }
            var pairs = LotMatching.Pairs(basis.Value, parsed.GetValue(worst), cancellation);
            if (asJson) CliJson.Write(context.Terminal, pairs);
            else context.Terminal.Lines(MatchText.Lines(pairs, context.Terminal.OutInk));
            return ExitCode.Good;
        });
        return command;
    }
}
