using System.CommandLine;
using SweepRig.Domain.Stock;
using SweepRig.Service.Cli.Commands.Types;
using SweepRig.Service.Cli.Parsing;
using SweepRig.Service.Cli.Rendering;
using SweepRig.Service.Contract;
using SweepRig.Storage;
using SweepRig.Tubes.Catalogue;

namespace SweepRig.Service.Cli.Commands.Stock;

/// <summary>One tube with its history.</summary>
public static class StockShowCommand
{
    public static Command Build(CliContext context)
    {
        var command = new ExampledCommand(
            "show", "Shows a tube and all that happened to it.",
            new Example("sweeprig stock show SKUA-014", "By the number written on it."));
        var label = StockCommand.LabelArgument();
        var (json, data) = (SharedOptions.Json(), SharedOptions.Data());
        command.Add(label);
        command.Add(data);
        command.Add(json);
        command.SetAction(async (parsed, cancellation) =>
        {
            var asked = StockCommand.Label(parsed.GetValue(label)!);
            await using var runs = await RunsCommand.OpenAsync(context, parsed.GetValue(data), cancellation);
            var tube = runs is null ? null : await StockCommand.Of(context, runs).FindAsync(asked, cancellation);
            if (tube is null)
            {
                context.Tell([StockStore.Unknown(asked)], parsed.GetValue(json), ExitCode.BadInput);
                return ExitCode.BadInput;
            }
            if (parsed.GetValue(json)) CliJson.Write(context.Terminal, StockTubeView.Of(tube));
            else Write(context, tube, tube.TypeName is { } named ? TypesCommand.Catalogue(context, parsed.GetValue(data)).Find(named) : null);
            return ExitCode.Good;
        });
        return command;
    }

    private static void Write(CliContext context, StockTube tube, TubeType? type)
    {
        var terminal = context.Terminal;
        terminal.Line(terminal.OutInk.Strong($"{tube.Label}, {tube.TypeName ?? "type not known"}, of lot {tube.Lot}"));
        terminal.Line($"{StockWords.Word(tube.State)}{(tube.InUseAt is { } use ? $" at {use}" : "")}{(tube.Grade is { } grade ? $", grade {grade}" : "")}{(tube is { Location: { } place, InUseAt: null } ? $", {place}" : "")}");
        if (type?.Caution is { } caution) terminal.Line(caution);
        var table = new TextTable(("when (UTC)", false), ("what", false), ("", false));
        foreach (var change in tube.History)
            table.Row(change.AtUtc.ToString("yyyy-MM-dd HH:mm", System.Globalization.CultureInfo.InvariantCulture), StockWords.Word(change.Kind), change.Text);
        foreach (var line in table.Lines(terminal.OutInk)) terminal.Line(line);
    }
}
