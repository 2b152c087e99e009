using System.CommandLine;
using SweepRig.Service.Cli.Parsing;
using SweepRig.Service.Cli.Rendering;
using SweepRig.Service.Logic;

namespace SweepRig.Service.Cli.Commands.Logic;

/// <summary>Names what could stand in for each tube of a gate.</summary>
internal static class LogicSparesCommand
{
    public static Command Build(CliContext context)
    {
        var command = new ExampledCommand(
            "spares", "Names, for each tube of a gate, the free tubes of the stock that could stand in for it, with the margin that the gate has then, all other tubes staying.",
            new Example("sweeprig logic spares latch --tube SKUA-014 --tube SKUA-087 --tube SKUA-003 --tube SKUA-021", "From the whole stock."),
            new Example("sweeprig logic spares half-adder --tube SKUA-014 --tube SKUA-021 --lot Skua --spares 5 --json", "From a lot, for a program; places that are left have an example tube."));
        var gate = StageArguments.Gate();
        var (tubes, lot) = (StageArguments.Tubes(LogicGateCommands.Places), Bounded.Text("--lot", "NAME", "Lot to take spares from (default: the whole stock)", 40, "See sweeprig stock list --lots."));
        var from = new Option<string[]>("--from") { Description = "Number of a tube to take as a spare; give it again for more", HelpName = "NUMBER", Arity = ArgumentArity.ZeroOrMore };
        var spares = Bounded.Whole("--spares", "N", "Spares to name for each place (default: 3)", 1, ChoiceDesk.MostSpares, "spares", "The best come first.");
        command.Add(gate);
        foreach (var option in new Option[] { tubes, lot, from, spares }) command.Add(option);
        var stage = new StageArguments(command);
        LogicWork.Add(context, command,
            (parsed, desk, progress, c) => desk.Spares.FindAsync(
                new(parsed.GetRequiredValue(gate).Trim(), stage.Rails(parsed), stage.Values(parsed, parsed.GetRequiredValue(gate).Trim()), parsed.GetValue(tubes), parsed.GetValue(lot), parsed.GetValue(from), parsed.GetValue(spares) ?? 3), progress, c),
            view => ChoiceText.Lines(view, context.Terminal.OutInk));
        return command;
    }
}
