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
            await using var onRecord = await OnRecord.OpenAsync(context, parsed.GetValue(data), asJson, cancellation);
            if (onRecord is null || await onRecord.FindAsync([parsed.GetRequiredValue(run)], cancellation) is not [var named]) return ExitCode.BadInput;
            var report = onRecord.Take(await RecordedScreening.ReadAsync(onRecord.Store, onRecord.Calibrations, named, parsed.GetValue(calibration), cancellation));
            if (report is null) return ExitCode.BadInput;
            var view = HealthView.Of(report);
            if (asJson) CliJson.Write(context.Terminal, view);
            else context.Terminal.Lines(HealthText.Lines(view, context.Terminal.OutInk));
            return ExitCode.Good;
        });
        return command;
    }
}
