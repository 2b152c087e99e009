using System.CommandLine;
using SweepRig.Service.Cli.Parsing;
using SweepRig.Service.Cli.Rendering;
using SweepRig.Service.Logic;

namespace SweepRig.Service.Cli.Commands.Logic;

/// <summary>Chooses tubes of the stock for the places of a gate.</summary>
internal static class LogicChooseCommand
{
    public static Command Build(CliContext context)
    {
        var command = new ExampledCommand(
            "choose", "Chooses which tube of the stock goes where in a gate so that its worst margin is largest, and names the runner-up, the spares, and a bound that no placement is beyond.",
            new Example("sweeprig logic choose half-adder --lot Skua", "From all free tubes of a lot that were swept."),
            new Example("sweeprig logic choose latch --lot Skua --pin V_q_1=SKUA-014 --not SKUA-021 --json", "With one tube that is soldered in already and one that is kept, for a program."));
        var gate = StageArguments.Gate();
        var (tubes, lot) = (StageArguments.Tubes("Number of a tube to choose from; give it again for more"), StageArguments.Lot());
        var pins = new Option<KeyValuePair<string, string>[]>("--pin")
        {
            Description = "Tube that must stand at a place; give it again for more",
            HelpName = "PLACE=NUMBER",
            Arity = ArgumentArity.ZeroOrMore,
            CustomParser = result =>
            {
                var parsed = new Dictionary<string, string>(StringComparer.Ordinal);
                foreach (var token in result.Tokens)
                {
                    if (token.Value.Split('=', 2, StringSplitOptions.TrimEntries) is not [{ Length: > 0 } place, { Length: > 0 } number]) result.AddError($"--pin {token.Value}: allowed is PLACE=NUMBER. Write for example V_q_1=SKUA-014.");
                    else if (!parsed.TryAdd(place, number)) result.AddError($"--pin {token.Value}: allowed is one tube for a place, and {place} has {parsed[place]}. Leave one of them out.");
                }
                return [.. parsed];
            },
        };
        var not = new Option<string[]>("--not") { Description = "Number of a tube that is not to be taken; give it again for more", HelpName = "NUMBER", Arity = ArgumentArity.ZeroOrMore };
        var spares = Bounded.Whole("--spares", "N", "Spares to name for each place (default: 3)", 0, ChoiceDesk.MostSpares, "spares", "The best come first.");
        command.Add(gate);
        foreach (var option in new Option[] { tubes, lot, pins, not, spares }) command.Add(option);
        var stage = new StageArguments(command);
        LogicWork.Add(context, command,
            (parsed, desk, progress, c) => desk.Choices.ChooseAsync(
                new(parsed.GetRequiredValue(gate).Trim(), stage.Rails(parsed), stage.Values(parsed, parsed.GetRequiredValue(gate).Trim()), parsed.GetValue(tubes), parsed.GetValue(lot), new(parsed.GetValue(pins) ?? []), parsed.GetValue(not), parsed.GetValue(spares) ?? 3),
                progress, c),
            view => ChoiceText.Lines(view, context.Terminal.OutInk));
        return command;
    }
}
