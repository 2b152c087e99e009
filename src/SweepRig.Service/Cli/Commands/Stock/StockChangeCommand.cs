using System.CommandLine;
using SweepRig.Domain;
using SweepRig.Domain.Stock;
using SweepRig.Service.Cli.Commands.Types;
using SweepRig.Service.Cli.Parsing;
using SweepRig.Service.Contract;
using SweepRig.Storage;

namespace SweepRig.Service.Cli.Commands.Stock;

/// <summary>Adds one change to the history of a tube.</summary>
public static class StockChangeCommand
{
    /// <param name="context">Terminal and clock.</param>
    /// <param name="name">Of the command.</param>
    /// <param name="kind">Of the change.</param>
    /// <param name="textName">What its text is called in the help.</param>
    /// <param name="says">What the command does.</param>
    /// <param name="example">One.</param>
    public static Command Build(CliContext context, string name, TubeChangeKind kind, string textName, string says, Example example)
    {
        var command = new ExampledCommand(name, says, example);
        var label = StockCommand.LabelArgument();
        var text = new Argument<string>(textName) { Description = $"One line of up to {TubeChange.LongestText} characters" };
        var (json, data) = (SharedOptions.Json(), SharedOptions.Data());
        command.Add(label);
        command.Add(text);
        command.Add(data);
        command.Add(json);
        command.SetAction(async (parsed, cancellation) =>
        {
            var asked = StockCommand.Label(parsed.GetValue(label)!);
            var words = parsed.GetValue(text)!.Trim();
            var type = kind == TubeChangeKind.Identified ? TypesCommand.Catalogue(context, parsed.GetValue(data)).Find(words) : null;
            await using var runs = await RunsCommand.OpenAsync(context, parsed.GetValue(data), cancellation);
            var after = runs is null
                ? Outcome<StockTube>.Refuse(StockStore.Unknown(asked))
                : await StockCommand.Of(context, runs).ChangeAsync(asked, kind, type?.Name ?? words, cancellation);
            if (!after.IsAccepted)
            {
                context.Tell(after.Refusals, parsed.GetValue(json), ExitCode.BadInput);
                return ExitCode.BadInput;
            }
            if (parsed.GetValue(json)) CliJson.Write(context.Terminal, StockTubeView.Of(after.Value));
            else context.Terminal.Line($"{after.Value.Label}, {StockWords.Word(kind)}: {after.Value.History[^1].Text}");
            if (type?.Caution is { } caution && !parsed.GetValue(json)) context.Terminal.Line(caution);
            return ExitCode.Good;
        });
        return command;
    }
}
