using System.CommandLine;
using SweepRig.Domain;
using SweepRig.Service.Cli.Commands.Stock;
using SweepRig.Service.Cli.Parsing;
using SweepRig.Service.Cli.Terminal;
using SweepRig.Service.Contract;
using SweepRig.Service.Fits;
using SweepRig.Service.Logic;

namespace SweepRig.Service.Cli.Commands.Logic;

/// <summary>A command that asks about a circuit: opens what is there, shows how far it is, and tells the answer.</summary>
internal static class LogicWork
{
    /// <param name="ask">The question.</param>
    /// <param name="lines">The answer for people.</param>
    /// <param name="exit">Exit code of an answer; null for good.</param>
    public static void Add<T>(
        CliContext context, ExampledCommand command, Func<ParseResult, LogicDesk, Action<LogicWorkView>, CancellationToken, Task<Outcome<T>>> ask, Func<T, IEnumerable<string>> lines, Func<T, int>? exit = null)
        where T : class
    {
        var (data, json) = (SharedOptions.Data(), SharedOptions.Json());
        command.Add(data);
        command.Add(json);
        command.SetAction(async (parsed, cancellation) =>
        {
            var (asJson, at) = (parsed.GetValue(json), parsed.GetValue(data));
            using var workbench = new Workbench();
            await using var runs = await RunsCommand.OpenAsync(context, at, cancellation);
            var fitted = new FittedTubes(workbench, Service.Types.UserTypes.Read(DataPlace.Of(at, context.Variable)).Catalogue);
            var tubes = new LogicTubes(runs, runs is null ? null : StockCommand.Of(context, runs), fitted);
            Outcome<T> outcome;
            using (var progress = new ProgressLine(context.Terminal, context.Time, "Done"))
                outcome = await ask(parsed, new(tubes, workbench, fitted, runs), now => Show(progress, now), cancellation);
            if (!outcome.IsAccepted) return context.Tell(outcome.Refusals, asJson, ExitCode.BadInput);
            if (asJson) CliJson.Write(context.Terminal, outcome.Value);
            else context.Terminal.Lines(lines(outcome.Value));
            return exit?.Invoke(outcome.Value) ?? ExitCode.Good;
        });
    }

    private static void Show(ProgressLine progress, LogicWorkView now)
    {
        // A search tells from several threads.
        lock (progress) progress.Show(now.Done, now.Of);
    }
}
