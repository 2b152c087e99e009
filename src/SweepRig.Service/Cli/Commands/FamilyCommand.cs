using System.CommandLine;
using SweepRig.Domain;
using SweepRig.Domain.Plans;
using SweepRig.Domain.Tubes;
using SweepRig.Service.Cli.Parsing;
using SweepRig.Service.Cli.Records;
using SweepRig.Service.Cli.Rendering;
using SweepRig.Service.Contract;
using SweepRig.Service.Families;
using SweepRig.Service.Fits;
using SweepRig.Service.Live;

namespace SweepRig.Service.Cli.Commands;

/// <summary>The surface of plate current of a tube, a load line on it, and whether a sweep made with it came out so.</summary>
public static class FamilyCommand
{
    public static Command Build(CliContext context)
    {
        var command = new ExampledCommand(
            "family", "Draws plate current over plate voltage from a run with the plate rail stepped, or from runs with several plate resistors, and tells the output that another resistor or rail would give.",
            new Example($"sweeprig family {RunFinder.Latest}", "The newest run, with the load line of its own resistor and rail."),
            new Example($"sweeprig family {RunFinder.Latest} --resistor 22000 --rail 24", "Another plate resistor and rail."),
            new Example("sweeprig family 019d2f3a --resistor 22000 --check 019d2f41", "Held against a sweep that was made with that resistor."),
            new Example("sweeprig sweep plate-family --tube SKUA-014 --type 6AU6", "Record such a run."));
        var runs = new Argument<string[]>("RUN") { Description = $"Ids of runs of one tube, or their first digits, or \"{RunFinder.Latest}\"", Arity = ArgumentArity.OneOrMore };
        var resistor = Bounded.Number("--resistor", "OHMS", "Plate resistor of the load line (default: that of the first run)", PlanLimits.MinOhms, PlanLimits.MaxOhms, "ohm", "Give the resistor that the circuit will have, for example 22000.");
        var rail = Bounded.Number("--rail", "VOLTS", "Plate rail of the load line (default: that of the first run)", PlanLimits.MinSupplyVolts, ExtraLowVoltage.Limit.Value, "V", "Give the rail that the circuit will have, for example 24.");
        var check = new Option<string?>("--check") { Description = "Hold the load line against this run, made with its resistor and rail", HelpName = "RUN" };
        var calibration = RunsCommand.CalibrationOption();
        var (json, data) = (SharedOptions.Json(), SharedOptions.Data());
        command.Add(runs);
        command.Add(resistor);
        command.Add(rail);
        command.Add(check);
        command.Add(calibration);
        command.Add(data);
        command.Add(json);
        command.SetAction(async (parsed, cancellation) =>
        {
            var asJson = parsed.GetValue(json);
            var chosen = await FittedRuns.ReadAsync(context, parsed.GetValue(data), parsed.GetRequiredValue(runs), parsed.GetValue(calibration), asJson, cancellation);
            if (chosen is null) return ExitCode.BadInput;
            RecordedRun? measured = null;
            if (parsed.GetValue(check) is { } held)
            {
                measured = await RunsCommand.ReadAsync(context, parsed.GetValue(data), held, parsed.GetValue(calibration), asJson, cancellation);
                if (measured is null) return ExitCode.BadInput;
                if (FamilyCheckRun.Faults(chosen, measured.Record) is { Count: > 0 } faults) return context.Tell(faults, asJson, ExitCode.BadInput);
            }
            var connection = Predictions.Connection(chosen.First.Record.Header.Plan.Connection, parsed.GetValue(resistor), parsed.GetValue(rail));
            if (!connection.IsAccepted) return context.Tell(connection.Refusals, asJson, ExitCode.BadInput);
            return Tell(context, TubeFamilies.View(chosen), TubeFamilies.Predict(chosen, connection.Value, measured), asJson);
        });
        return command;
    }

    private static int Tell(CliContext context, Outcome<FamilyView> family, Outcome<FamilyPredictionView> predicted, bool asJson)
    {
        if (!family.IsAccepted) return context.Tell(family.Refusals, asJson, ExitCode.BadInput);
        if (!predicted.IsAccepted) return context.Tell(predicted.Refusals, asJson, ExitCode.BadInput);
        var terminal = context.Terminal;
        if (asJson) CliJson.Write(terminal, new { family = family.Value, prediction = predicted.Value });
        else foreach (var line in FamilyText.Lines(family.Value, predicted.Value, terminal.Width, terminal.OutInk)) terminal.Line(line);
        return ExitCode.Good;
    }
}
