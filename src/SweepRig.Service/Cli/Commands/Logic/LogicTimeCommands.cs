using System.CommandLine;
using System.Globalization;
using SweepRig.Domain.Tubes;
using SweepRig.Service.Cli.Parsing;
using SweepRig.Service.Cli.Rendering;
using SweepRig.Service.Contract;
using SweepRig.Service.Logic;

namespace SweepRig.Service.Cli.Commands.Logic;

/// <summary>Commands about how fast a gate is, and how far its supplies may move.</summary>
internal static class LogicTimeCommands
{
    public static Command Timing(CliContext context)
    {
        var command = new ExampledCommand(
            "timing", "Plays a gate in time with its tubes: delay of each path from 50 % to 50 %, shortest period and smallest size of each trigger, and what inputs, rails and heaters take.",
            new Example("sweeprig logic timing half-adder --tube SKUA-014 --tube SKUA-021", "Places that are left have an example tube."),
            new Example("sweeprig logic timing latch --speed-up 22 --json", "With a capacitor across each upper resistor, for a program; the slowest path comes as a curve."));
        var (gate, tubes) = (StageArguments.Gate(), StageArguments.Tubes(LogicGateCommands.Places));
        command.Add(gate);
        command.Add(tubes);
        var stage = new StageArguments(command);
        LogicWork.Add(context, command,
            (parsed, desk, progress, c) => desk.Times.TimeAsync(new(parsed.GetRequiredValue(gate).Trim(), stage.Rails(parsed), stage.Values(parsed, parsed.GetRequiredValue(gate).Trim()), parsed.GetValue(tubes)), progress, c),
            view => TimingText.Lines(view, context.Terminal.OutInk));
        return command;
    }

    public static Command Map(CliContext context)
    {
        var command = new ExampledCommand(
            "map", "Moves two supplies of a gate and tells where it stops working: the margin at every pair of voltages, the line beyond which it is too small, and how far each supply may go.",
            new Example("sweeprig logic map latch --tube SKUA-014 --tube SKUA-087", "Plate rail and supply of the screens."),
            new Example("sweeprig logic map half-adder --against bias --plate-span 14..36 --other-span -20..-4 --limit 0.5 --json", "Plate rail and bias rail, half a volt at least, for a program."));
        var (gate, tubes) = (StageArguments.Gate(), StageArguments.Tubes(LogicGateCommands.Places));
        var against = new Option<string>("--against") { Description = "What moves beside the plate rail: screen or bias", HelpName = "SUPPLY", DefaultValueFactory = _ => "screen" };
        var (plate, other) = (Span("--plate-span", "Plate rails (default: 0.4 to 1.4 times what it is)"), Span("--other-span", "Voltages of the other supply (default: around what it is)"));
        var steps = Bounded.Whole("--steps", "N", "Points along each side (default: 13)", MapSettings.FewestSteps, MapSettings.MostSteps, "points", "The limit is followed between them.");
        var limit = Bounded.Number("--limit", "VOLTS", "Margin below which it counts as not working (default: 0.1)", MapSettings.LeastLimit, ExtraLowVoltage.Limit.Value, "V", "Margins are found to a millivolt.");
        command.Add(gate);
        foreach (var option in new Option[] { tubes, against, plate, other, steps, limit }) command.Add(option);
        var stage = new StageArguments(command);
        LogicWork.Add(context, command,
            (parsed, desk, progress, c) => desk.Times.MapAsync(
                new(parsed.GetRequiredValue(gate).Trim(), stage.Rails(parsed), stage.Values(parsed, parsed.GetRequiredValue(gate).Trim()), parsed.GetValue(tubes), parsed.GetValue(against)!.Trim(), parsed.GetValue(plate), parsed.GetValue(other),
                    parsed.GetValue(steps) ?? 13, parsed.GetValue(limit) ?? 0.1), progress, c),
            view => MapText.Lines(view, context.Terminal.OutInk));
        return command;
    }

    private static Option<VoltSpanView?> Span(string name, string says) => new(name)
    {
        Description = $"{says}, as LOWEST..HIGHEST in volts",
        HelpName = "SPAN",
        CustomParser = result =>
        {
            var text = result.Tokens[^1].Value;
            if (text.Split("..") is [var low, var high] && double.TryParse(low, CultureInfo.InvariantCulture, out var from) && double.TryParse(high, CultureInfo.InvariantCulture, out var to)) return new(from, to);
            result.AddError($"{name} {text}: allowed is LOWEST..HIGHEST in volts. Write for example 14..36.");
            return null;
        },
    };
}
