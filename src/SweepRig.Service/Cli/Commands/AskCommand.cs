using System.CommandLine;
using SweepRig.Domain.Plans;
using SweepRig.Service.Cli.Parsing;
using SweepRig.Service.Cli.Records;
using SweepRig.Service.Cli.Rendering;
using SweepRig.Service.Contract;
using SweepRig.Service.Fits;
using SweepRig.Service.Live;

namespace SweepRig.Service.Cli.Commands;

/// <summary>Asks which sweep to make next, so that a quantity becomes surer; the answer can be a plan.</summary>
public static class AskCommand
{
    private const string StandardOutput = "-";

    public static Command Build(CliContext context)
    {
        var command = new ExampledCommand(
            "ask", "Ranks the sweeps that could be made next by how much each would shrink the uncertainty of what is wanted, and writes the plan of one.",
            new Example($"sweeprig ask {RunFinder.Latest}", "For the switching point in the connection of the newest run."),
            new Example($"sweeprig ask {RunFinder.Latest} --want emission --highest-drive 24 --plan next.json", "For a constant, with positive drive allowed; the best plan into a file."),
            new Example($"sweeprig ask {RunFinder.Latest} --want everything --plan - | sweeprig sweep - --tube SKUA-014 --type 6AU6", "Straight into the sweep."));
        var runs = new Argument<string[]>("RUN") { Description = $"Ids of runs of one tube, or their first digits, or \"{RunFinder.Latest}\"", Arity = ArgumentArity.OneOrMore };
        var want = new Option<string?>("--want") { Description = $"What is to become surer: {WantedQuantities.Choices} (default: {WantedQuantities.Switching})", HelpName = "QUANTITY" };
        var highest = Bounded.Number("--highest-drive", "V", "Highest drive that a sweep may use; above 0 V it needs a permit (default: as high as the runs went)", 0, PlanLimits.MaxDriveVolts, "V", "Give 0 for sweeps without a permit.");
        var plan = new Option<string?>("--plan") { Description = "File to write the plan to, or - for standard output, where then nothing else goes", HelpName = "FILE" };
        var choose = Bounded.Whole("--choose", "N", "Which row of the table --plan writes (default: 1, the best)", 1, 99, "", "Count the rows from 1.");
        var calibration = RunsCommand.CalibrationOption();
        var (json, data) = (SharedOptions.Json(), SharedOptions.Data());
        command.Add(runs);
        foreach (var option in (Option[])[want, highest, plan, choose, calibration, data, json]) command.Add(option);
        command.Validators.Add(result =>
        {
            if (result.GetResult(choose) is not null && result.GetResult(plan) is null) result.AddError("--choose without --plan: it says which plan to write. Add --plan FILE.");
        });
        command.SetAction(async (parsed, cancellation) =>
        {
            var asJson = parsed.GetValue(json);
            var chosen = await FittedRuns.ReadAsync(context, parsed.GetValue(data), parsed.GetRequiredValue(runs), parsed.GetValue(calibration), asJson, cancellation);
            if (chosen is null) return ExitCode.BadInput;
            var proposed = NextSweeps.Propose(chosen, parsed.GetValue(want), parsed.GetValue(highest), cancellation);
            if (!proposed.IsAccepted) return context.Tell(proposed.Refusals, asJson, ExitCode.BadInput);
            var file = parsed.GetValue(plan);
            var row = parsed.GetValue(choose) ?? 1;
            if (row > proposed.Value.Candidates.Length)
            {
                context.Terminal.Complain($"--choose {row}: there are {proposed.Value.Candidates.Length} candidates. Give one of the rows of the table.");
                return ExitCode.BadInput;
            }
            var text = PlanText(proposed.Value.Candidates[row - 1]);
            if (file == StandardOutput)
            {
                context.Terminal.Error.WriteLine(proposed.Value.Says);
                context.Terminal.Out.Write(text);
                return ExitCode.Good;
            }
            if (file is not null) await RecordedRun.WriteFileAsync(file, async (TextWriter writer) => await writer.WriteAsync(text));
            if (asJson) CliJson.Write(context.Terminal, proposed.Value);
            else Tell(context, proposed.Value, file is null ? null : $"Plan {row} is in {file}.");
            return ExitCode.Good;
        });
        return command;
    }

    private static void Tell(CliContext context, NextSweepView proposed, string? written)
    {
        foreach (var line in NextSweepText.Lines(proposed, context.Terminal.OutInk)) context.Terminal.Line(line);
        context.Terminal.Line(written ?? "Add --plan FILE for a plan that sweeprig sweep takes.");
    }

    private static string PlanText(CandidateSweepView candidate)
    {
        var text = candidate.Plan.GetRawText();
        return text.EndsWith('\n') ? text : text + "\n";
    }
}
