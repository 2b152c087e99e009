using System.CommandLine;
using SweepRig.Analysis.Levels;
using SweepRig.Service.Cli.Parsing;
using SweepRig.Service.Cli.Records;
using SweepRig.Service.Cli.Rendering;
using SweepRig.Service.Fits;
using SweepRig.Service.Live;

namespace SweepRig.Service.Cli.Commands;

/// <summary>All levels of one run or of several, with what their uncertainty is made of on request.</summary>
public static class AnalyseCommand
{
    public static Command Build(CliContext context)
    {
        var command = new ExampledCommand(
            "analyse", "Tells every level of recorded runs with its uncertainty. Several runs of one tube with different plate resistors also tell its transconductance, plate resistance and amplification factor.",
            new Example($"sweeprig analyse {RunFinder.Latest}", "All levels of the newest run."),
            new Example("sweeprig analyse 019d2f3a 019d2f3b", "Two runs side by side, and what they tell together."),
            new Example($"sweeprig analyse {RunFinder.Latest} --budget", "What each uncertainty is made of."));
        var runs = new Argument<string[]>("RUN") { Description = $"Ids of runs, or their first digits, or \"{RunFinder.Latest}\"", Arity = ArgumentArity.OneOrMore };
        var budget = new Option<bool>("--budget") { Description = "Add the budget of each uncertainty: source, standard uncertainty, sensitivity, part" };
        var calibration = RunsCommand.CalibrationOption();
        var (json, data) = (SharedOptions.Json(), SharedOptions.Data());
        command.Add(runs);
        command.Add(budget);
        command.Add(calibration);
        command.Add(data);
        command.Add(json);
        command.SetAction(async (parsed, cancellation) =>
        {
            await using var onRecord = await OnRecord.OpenAsync(context, parsed.GetValue(data), parsed.GetValue(json), cancellation);
            if (onRecord is null || await onRecord.ReadAsync(parsed.GetRequiredValue(runs), parsed.GetValue(calibration), cancellation) is not { } read) return ExitCode.BadInput;
            var budgets = parsed.GetValue(budget);
            var together = TubeSlopes.Of(read);
            if (parsed.GetValue(json)) CliJson.Write(context.Terminal, new { runs = read.Select(r => r.Levels(budgets)), together });
            else Write(context, read, together, budgets);
            return ExitCode.Good;
        });
        return command;
    }

    private static void Write(CliContext context, IReadOnlyList<RecordedRun> runs, SmallSignalLevels[] together, bool budgets)
    {
        var terminal = context.Terminal;
        var shown = runs.Select(r => (runs.Count == 1 ? "" : r.Record.Header.Id[..8], Levels: r.Levels(budgets))).ToArray();
        terminal.Lines(LevelsTable.Lines(shown, terminal.Width, terminal.OutInk, all: true));
        terminal.Line();
        terminal.Lines(LevelText.OfSeveral(shown.Select(s => s.Levels), together));
        if (!budgets) return;
        foreach (var (heading, levels) in shown)
            terminal.Lines(LevelText.Budgets(heading, levels, terminal.OutInk));
    }
}
