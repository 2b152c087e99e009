using System.CommandLine;
using SweepRig.Service.Cli.Parsing;
using SweepRig.Service.Cli.Rendering;
using SweepRig.Service.Contract;
using SweepRig.Service.Logic;

namespace SweepRig.Service.Cli.Commands.Logic;

/// <summary>Commands about whole gates with named tubes: the table in volts, and the yield.</summary>
internal static class LogicGateCommands
{
    internal const string Places = "Number of a tube in the stock, once for each place, in the order of sweeprig logic example";

    public static Command Check(CliContext context)
    {
        var command = new ExampledCommand(
            "check", "Proves a gate with the very tubes that it is to have: its table in volts, and the margin of each row.",
            new Example("sweeprig logic check latch --tube SKUA-014 --tube SKUA-087 --tube SKUA-003 --tube SKUA-021", "A latch of four tubes."),
            new Example("sweeprig logic check half-adder --json", "Eight example tubes, for a program. Exit code 1 when a row is wrong."));
        var (gate, tubes) = (StageArguments.Gate(), StageArguments.Tubes(Places));
        command.Add(gate);
        command.Add(tubes);
        var stage = new StageArguments(command);
        LogicWork.Add(context, command,
            (parsed, desk, progress, c) => desk.CheckAsync(new(parsed.GetRequiredValue(gate).Trim(), stage.Rails(parsed), stage.Values(parsed, parsed.GetRequiredValue(gate).Trim()), parsed.GetValue(tubes)), progress, c),
            view => LogicText.Lines(view, context.Terminal.OutInk), view => view.Right ? ExitCode.Good : ExitCode.Failed);
        return command;
    }

    public static Command Yield(CliContext context)
    {
        var command = new ExampledCommand(
            "yield", "Builds a gate many times in numbers, each time with other resistors, rails and drifts, and tells how often it is right and which part weighs most.",
            new Example("sweeprig logic yield half-adder --resistor-tolerance 10", "What the cheaper resistors cost."),
            new Example("sweeprig logic yield latch --tube SKUA-014 --tube SKUA-087 --tube SKUA-003 --tube SKUA-021 --trials 20000 --least 0.5", "Half a volt from the threshold, everywhere."));
        var (gate, tubes, usual) = (StageArguments.Gate(), StageArguments.Tubes(Places), new TolerancesView());
        command.Add(gate);
        command.Add(tubes);
        var trials = Bounded.Whole("--trials", "N", "Gates to build (default: 2000)", 1, YieldViewMaker.MostTrials, "trials", "2000 tell a yield within 2 %.");
        var seed = Bounded.Whole("--seed", "N", "The same seed gives the same trials (default: 1)", 0, int.MaxValue, "", "Give any number in this range.");
        var least = Bounded.Number("--least", "VOLTS", "Distance from the threshold that every signal must keep (default: 0)", 0, 60, "V", "Give 0 for any.");
        var resistors = Percent("--resistor-tolerance", "Of resistors", usual.ResistorPercent);
        var rails = Percent("--rail-tolerance", "Of both rails", usual.RailPercent);
        var current = Percent("--current-drift", "Of each tube's current, one standard deviation", usual.CurrentPercent);
        var offset = Bounded.Number("--offset-drift", "VOLTS", $"Of each tube's grid offset, one standard deviation (default: {usual.OffsetVolts})", 0, 2, "V", "Give 0 for none.");
        var emission = Percent("--emission-drift", "Of each tube's emission, one standard deviation", usual.EmissionPercent);
        foreach (var option in new Option[] { trials, seed, least, resistors, rails, current, offset, emission }) command.Add(option);
        var stage = new StageArguments(command);
        LogicWork.Add(context, command,
            (parsed, desk, progress, c) => desk.YieldAsync(
                new(parsed.GetRequiredValue(gate).Trim(), stage.Rails(parsed), stage.Values(parsed, parsed.GetRequiredValue(gate).Trim()), parsed.GetValue(tubes),
                    new(parsed.GetValue(resistors) ?? usual.ResistorPercent, parsed.GetValue(rails) ?? usual.RailPercent, parsed.GetValue(current) ?? usual.CurrentPercent,
                        parsed.GetValue(offset) ?? usual.OffsetVolts, parsed.GetValue(emission) ?? usual.EmissionPercent),
                    parsed.GetValue(trials) ?? 2_000, parsed.GetValue(seed) ?? 1, parsed.GetValue(least) ?? 0),
                progress, c),
            view => LogicText.Lines(view, context.Terminal.Width, context.Terminal.OutInk));
        return command;
    }

    internal static Option<double?> Percent(string name, string says, double usual) => Bounded.Number(name, "PERCENT", $"{says} (default: {usual})", 0, 50, "%", "Give 0 for none.");
}
