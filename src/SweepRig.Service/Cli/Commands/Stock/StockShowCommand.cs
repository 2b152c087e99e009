using System.CommandLine;
using SweepRig.Domain.Runs;
using SweepRig.Domain.Stock;
using SweepRig.Service.Cli.Commands.Types;
using SweepRig.Service.Cli.Parsing;
using SweepRig.Service.Cli.Records;
using SweepRig.Service.Cli.Rendering;
using SweepRig.Service.Contract;
using SweepRig.Service.Live;
using SweepRig.Storage;
using SweepRig.Tubes.Catalogue;

namespace SweepRig.Service.Cli.Commands.Stock;

/// <summary>One tube with its history.</summary>
public static class StockShowCommand
{
    private const int RunsShown = 20;

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
            else Write(context, tube, tube.TypeName is { } named ? TypesCommand.Catalogue(context, parsed.GetValue(data)).Find(named) : null, await runs!.OfTubeAsync(tube.Label, cancellation));
            return ExitCode.Good;
        });
        return command;
    }

    private static void Write(CliContext context, StockTube tube, TubeType? type, IReadOnlyList<RunRecord> runs)
    {
        var terminal = context.Terminal;
        terminal.Line(terminal.OutInk.Strong($"{tube.Label}, {tube.TypeName ?? "type not known"}, of lot {tube.Lot}"));
        terminal.Line($"{StockWords.Word(tube.State)}{(tube.InUseAt is { } use ? $" at {use}" : "")}{(tube.Grade is { } grade ? $", grade {grade}" : "")}{(tube is { Location: { } place, InUseAt: null } ? $", {place}" : "")}");
        if (type?.Caution is { } caution) terminal.Line(caution);
        var table = new TextTable(("when (UTC)", false), ("what", false), ("", false));
        foreach (var change in tube.History)
            table.Row(change.AtUtc.ToString("yyyy-MM-dd HH:mm", System.Globalization.CultureInfo.InvariantCulture), StockWords.Word(change.Kind), change.Text);
        terminal.Lines(table.Lines(terminal.OutInk));
        if (runs.Count == 0) return;
        terminal.Line();
        terminal.Lines(RunsTable(runs).Lines(terminal.OutInk));
        if (runs.Count > RunsShown) terminal.Line($"And {runs.Count - RunsShown} older runs.");
    }

    private static TextTable RunsTable(IReadOnlyList<RunRecord> runs)
    {
        var digits = RunFinder.DigitsNeeded(runs.Select(r => r.Header.Id));
        var table = new TextTable(("run", false), ("started (UTC)", false), ("section", false), ("plan", false), ("connection", false), ("state", false));
        foreach (var run in runs.Take(RunsShown))
        {
            table.Row(
                run.Header.Id[..digits], run.Header.StartedUtc.ToString("yyyy-MM-dd HH:mm", System.Globalization.CultureInfo.InvariantCulture),
                run.Header.Tube.Section?.ToString(System.Globalization.CultureInfo.InvariantCulture) ?? "", run.Header.Screening is null ? run.Header.Plan.Name : "screening",
                BenchViews.Word(run.Header.Plan.Connection.Kind), BenchViews.Word(run.State));
        }
        return table;
    }
}
