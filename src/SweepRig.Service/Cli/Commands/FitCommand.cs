using System.CommandLine;
using SweepRig.Analysis.Models;
using SweepRig.Service.Cli.Parsing;
using SweepRig.Service.Cli.Records;
using SweepRig.Service.Cli.Rendering;
using SweepRig.Service.Contract;
using SweepRig.Service.Fits;

namespace SweepRig.Service.Cli.Commands;

/// <summary>Fits the tube model to one or several runs of a tube and tells the constants.</summary>
public static class FitCommand
{
    public static Command Build(CliContext context)
    {
        var command = new ExampledCommand(
            "fit", "Fits the tube model, or plain laws beside it, to one run, or to several of one tube together: constants with intervals of 95 %, what the runs leave open, and which sweep would tell it.",
            new Example($"sweeprig fit {RunFinder.Latest}", "The newest run alone."),
            new Example("sweeprig fit 019d2f3a 019d2f41", "Pentode and triode connection of one tube together."),
            new Example($"sweeprig fit {RunFinder.Latest} --model laws", "The 3/2-power law and Koren's forms beside the model: what each leaves over."),
            new Example($"sweeprig fit {RunFinder.Latest} --json", "The same for a program, with residuals point by point."));
        var runs = new Argument<string[]>("RUN") { Description = $"Ids of runs of one tube, or their first digits, or \"{RunFinder.Latest}\"", Arity = ArgumentArity.OneOrMore };
        var calibration = RunsCommand.CalibrationOption();
        var model = LawChoice.Option();
        var (json, data) = (SharedOptions.Json(), SharedOptions.Data());
        command.Add(runs);
        command.Add(model);
        command.Add(calibration);
        command.Add(data);
        command.Add(json);
        command.SetAction(async (parsed, cancellation) =>
        {
            var asJson = parsed.GetValue(json);
            var chosen = await FittedRuns.ReadAsync(context, parsed.GetValue(data), parsed.GetRequiredValue(runs), parsed.GetValue(calibration), asJson, cancellation);
            if (chosen is null) return ExitCode.BadInput;
            if (parsed.GetRequiredValue(model).Laws is { } laws) return Laws(context, LawViewMaker.Of(chosen, laws.Count > 0 ? laws : null, cancellation), asJson);
            var fit = TubeFits.Fit(chosen, cancellation);
            if (asJson) CliJson.Write(context.Terminal, FitViewMaker.Of(chosen, fit));
            else context.Terminal.Lines(FitText.Lines(FitViewMaker.Of(chosen, fit), context.Terminal.OutInk));
            // Other runs mend it; the words are in the findings.
            return fit.Status == ModelFitStatus.Refused ? ExitCode.BadInput : ExitCode.Good;
        });
        return command;
    }

    private static int Laws(CliContext context, LawsView laws, bool asJson)
    {
        if (asJson) CliJson.Write(context.Terminal, laws);
        else context.Terminal.Lines(LawText.Lines(laws, context.Terminal.OutInk));
        return laws.Laws.Any(l => l.Constants.Length > 0) ? ExitCode.Good : ExitCode.BadInput;
    }
}
