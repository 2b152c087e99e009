using System.CommandLine;
using System.Globalization;
using SweepRig.Service.Cli.Parsing;
using SweepRig.Storage;

namespace SweepRig.Service.Cli.Commands.Store;

/// <summary>The store itself: what it holds, and moving it.</summary>
public static class StoreCommand
{
    public static Command Build(CliContext context)
    {
        var command = new ExampledCommand(
            "store", "Shows what the store holds, and moves it between a file and a database that several benches share.",
            new Example("sweeprig store show", "How much there is, and where."),
            new Example("sweeprig store move --to postgres", "From the file in the data directory into the shared database."))
        {
            Show(context),
            StoreMoveCommand.Build(context),
        };
        command.SetAction(parsed => new HelpWithExamples(new System.CommandLine.Help.HelpAction(), context.Terminal.Width).Invoke(parsed));
        return command;
    }

    private static ExampledCommand Show(CliContext context)
    {
        var command = new ExampledCommand(
            "show", "Shows where the store is, what it holds and how much room it takes.",
            new Example("sweeprig store show", "The file in the data directory."),
            new Example("sweeprig store show --store postgres", "The shared database."));
        var (json, data) = (SharedOptions.Json(), SharedOptions.Data());
        command.Add(data);
        command.Add(json);
        command.SetAction(async (parsed, cancellation) =>
        {
            await using var store = await RunsCommand.OpenAsync(context, parsed.GetValue(data), cancellation);
            if (store is null)
            {
                context.Terminal.Complain(RunsCommand.NothingIn(context, parsed.GetValue(data)));
                return ExitCode.Good;
            }
            var facts = await StoreFacts.OfAsync(store, cancellation);
            if (parsed.GetValue(json)) CliJson.Write(context.Terminal, facts);
            else Write(context, facts);
            return ExitCode.Good;
        });
        return command;
    }

    private static void Write(CliContext context, StoreFacts facts)
    {
        var terminal = context.Terminal;
        terminal.Line($"store         {facts.Name}, version {facts.Version}");
        terminal.Line($"runs          {Count(facts.Runs)}, {Count(facts.Samples)} samples");
        terminal.Line($"calibrations  {Count(facts.Calibrations)}");
        terminal.Line($"stock         {Count(facts.Lots)} lots, {Count(facts.Tubes)} tubes");
        terminal.Line($"room          {(facts.Bytes / 1e6).ToString("0.0", CultureInfo.InvariantCulture)} MB");
        if (facts.Waiting > 0) terminal.Line($"waiting       {Count(facts.Waiting)} writes of this bench, in {facts.WaitingIn}; they are brought there when the bench starts");
    }

    internal static string Count(long value) => value.ToString("#,0", CultureInfo.InvariantCulture);
}
