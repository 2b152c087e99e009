using System.CommandLine;
using SweepRig.Service.Cli.Parsing;
using SweepRig.Service.Cli.Records;
using SweepRig.Service.Cli.Rendering;
using SweepRig.Service.Contract;
using SweepRig.Service.Live;

namespace SweepRig.Service.Cli.Commands;

/// <summary>The health report of a screening that is on record.</summary>
public static class RunsHealthCommand
{
    public static Command Build(CliContext context)
    {
        var command = new ExampledCommand(
            "health", "Tells what a screening says of its tube, made anew from the runs that it left. Name any of them.",
            new Example($"sweeprig runs health {RunFinder.Latest}", "The screening that the newest run belongs to."),
            new Example("sweeprig runs health 019d2f3a --calibration newest", "With the newest calibration of the rig."));
        var run = RunsCommand.RunArgument();
        var calibration = RunsCommand.CalibrationOption();
        var (json, data) = (SharedOptions.Json(), SharedOptions.Data());
        command.Add(run);
        command.Add(calibration);
        command.Add(data);
        command.Add(json);
        command.SetAction(async (parsed, cancellation) =>
        {
            var asJson = parsed.GetValue(json);
            await using var store = await RunsCommand.OpenAsync(context, parsed.GetValue(data), cancellation);
            if (store is null)
            {
                context.Terminal.Complain(RunsCommand.NothingIn(context, parsed.GetValue(data)));
                return ExitCode.BadInput;
            }
            var found = await RunFinder.FindAsync(store, parsed.GetRequiredValue(run), cancellation);
            if (!found.IsAccepted) return context.Tell(found.Refusals, asJson, ExitCode.BadInput);
            var report = await RecordedScreening.ReadAsync(store, new(store, context.Time), found.Value, parsed.GetValue(calibration), cancellation);
            if (!report.IsAccepted) return context.Tell(report.Refusals, asJson, ExitCode.BadInput);
            var view = HealthView.Of(report.Value);
            if (asJson) CliJson.Write(context.Terminal, view);
            else foreach (var line in HealthText.Lines(view, context.Terminal.OutInk)) context.Terminal.Line(line);
            return ExitCode.Good;
        });
        return command;
    }
}
