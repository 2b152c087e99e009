using System.CommandLine;
using SweepRig.Service.Cli.Parsing;
using SweepRig.Service.Cli.Rendering;
using SweepRig.Service.Contract;
using SweepRig.Service.Logic;

namespace SweepRig.Service.Cli.Commands.Logic;

/// <summary>Commands about stages: what they do with given values, which values are best, which two tubes make a bistable.</summary>
internal static class LogicStageCommands
{
    private const string Numbers = "Number of a tube in the stock; give it again for more";

    public static Command Levels(CliContext context)
    {
        var command = new ExampledCommand(
            "levels", "Tells what stages do with any of some tubes in them: transfer curve, restored levels, margins, currents and powers.",
            new Example("sweeprig logic levels --tube SKUA-014", "A long chain of stages with tubes like this one."),
            new Example("sweeprig logic levels --lot Skua --plate-resistor 22000 --fan-out 3", "What every tube of a lot can be counted on for, each stage feeding three."));
        var (tubes, lot, fanOut) = (StageArguments.Tubes(Numbers), StageArguments.Lot(), StageArguments.FanOut(0));
        Add(command, tubes, lot, fanOut);
        var stage = new StageArguments(command, ofStage: true);
        LogicWork.Add(context, command,
            (parsed, desk, progress, c) => desk.StageAsync(new(stage.Rails(parsed), stage.Values(parsed, stage.Of(parsed)), parsed.GetValue(tubes), parsed.GetValue(lot), parsed.GetValue(fanOut) ?? 1) { Gate = stage.Of(parsed) }, progress, c),
            view => LogicText.Lines(view, context.Terminal.Width, context.Terminal.OutInk));
        return command;
    }

    public static Command Search(CliContext context)
    {
        var command = new ExampledCommand(
            "search", "Finds the plate resistor and the divider that give the greatest margin to every one of some tubes, within tolerance and limits, and says what kept better ones out.",
            new Example("sweeprig logic search --lot Skua", "For every tube of a lot: E24, 5 %."),
            new Example("sweeprig logic search --tube SKUA-014 --tube SKUA-087 --series E12 --tolerance 10 --grid-limit 50", "For two tubes, in E12, with at most 50 uA of grid current."));
        var (tubes, lot, fanOut) = (StageArguments.Tubes(Numbers), StageArguments.Lot(), StageArguments.FanOut(1));
        Add(command, tubes, lot, fanOut);
        var series = new Option<string>("--series") { Description = "Preferred values: E12, E24 or E96 (IEC 60063)", HelpName = "SERIES", DefaultValueFactory = _ => "E24" };
        var tolerance = Bounded.Number("--tolerance", "PERCENT", "Of each resistor (default: 5)", 0, 20, "%", "Give that of the series.");
        var (plate, divider) = (Range("--plate", "Plate resistors to choose from", StageSearch.UsualPlate), Range("--divider", "Resistors of the divider to choose from", StageSearch.UsualDivider));
        var grid = Bounded.Number("--grid-limit", "UA", $"Most grid current at an input of the rail voltage (default: {StageSearch.UsualLimits.GridAmperes * 1e6:0})", 0, 1e5, "uA", "Give microamperes.", aboveMin: true);
        var watts = Bounded.Number("--plate-limit", "WATTS", $"Most dissipation of a plate (default: {StageSearch.UsualLimits.PlateWatts})", 0, 50, "W", "Give watts.", aboveMin: true);
        Add(command, series, tolerance, plate, divider, grid, watts);
        var stage = new StageArguments(command, searched: true, ofStage: true);
        LogicWork.Add(context, command,
            (parsed, desk, progress, c) => desk.SearchAsync(
                new(stage.Rails(parsed), stage.Values(parsed, stage.Of(parsed)), parsed.GetValue(tubes), parsed.GetValue(lot), parsed.GetValue(fanOut) ?? 1, parsed.GetValue(series)!, parsed.GetValue(tolerance) ?? 5,
                    parsed.GetValue(plate), parsed.GetValue(divider), parsed.GetValue(divider),
                    new(parsed.GetValue(grid) * 1e-6 ?? StageSearch.UsualLimits.GridAmperes, parsed.GetValue(watts) ?? StageSearch.UsualLimits.PlateWatts)) { Gate = stage.Of(parsed) },
                progress, c),
            view => LogicText.Lines(view, context.Terminal.OutInk));
        return command;
    }

    public static Command Pair(CliContext context)
    {
        var command = new ExampledCommand(
            "pair", "Tells which two of some tubes make the best bistable: the greatest voltage that can disturb both of their inputs at once.",
            new Example("sweeprig logic pair --lot Skua", "The best pairs of a lot."),
            new Example("sweeprig logic pair --tube SKUA-014 --tube SKUA-087 --tube SKUA-021 --plate-resistor 22000", "Of three tubes, with another plate resistor."));
        var (tubes, lot, fanOut) = (StageArguments.Tubes(Numbers), StageArguments.Lot(), StageArguments.FanOut(1));
        var most = Bounded.Whole("--most", "N", "Pairs to list (default: 10)", 1, 200, "pairs", "The best come first.");
        Add(command, tubes, lot, fanOut, most);
        var stage = new StageArguments(command);
        LogicWork.Add(context, command,
            (parsed, desk, progress, c) => desk.PairsAsync(
                new(stage.Rails(parsed), stage.Values(parsed, null), parsed.GetValue(tubes), parsed.GetValue(lot), parsed.GetValue(fanOut) ?? 1, parsed.GetValue(most) ?? 10), progress, c),
            view => LogicText.Lines(view, context.Terminal.OutInk));
        return command;
    }

    private static void Add(Command command, params Option[] options)
    {
        foreach (var option in options) command.Add(option);
    }

    private static Option<OhmRangeView?> Range(string name, string says, OhmRangeView usual) => new(name)
    {
        Description = $"{says}, as LOWEST..HIGHEST in ohms (default: {usual.Lowest}..{usual.Highest})",
        HelpName = "RANGE",
        CustomParser = result =>
        {
            var text = result.Tokens[^1].Value;
            if (text.Split("..") is [var low, var high] && double.TryParse(low, System.Globalization.CultureInfo.InvariantCulture, out var a) && double.TryParse(high, System.Globalization.CultureInfo.InvariantCulture, out var b) && a > 0 && b >= a)
                return new(a, b);
            result.AddError($"{name} {text}: allowed is LOWEST..HIGHEST in ohms, above 0 and rising. Write for example {usual.Lowest}..{usual.Highest}.");
            return null;
        },
    };
}
