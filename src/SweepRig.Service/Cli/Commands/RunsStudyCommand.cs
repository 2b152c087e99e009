using System.CommandLine;
using SweepRig.Service.Cli.Parsing;
using SweepRig.Service.Cli.Records;
using SweepRig.Service.Cli.Rendering;
using SweepRig.Service.Studies;

namespace SweepRig.Service.Cli.Commands;

/// <summary>What a study that is on record found.</summary>
public static class RunsStudyCommand
{
    public static Command Build(CliContext context)
    {
        var command = new ExampledCommand(
            "study", "Tells what a study found (exploration of positive drive, soak, warm-up study, life test, repeats), made anew from the runs that it left. Name any of them.",
            new Example($"sweeprig runs study {RunFinder.Latest}", "The study that the newest run belongs to."),
            new Example("sweeprig runs study 019d2f3a --calibration newest", "With the newest calibration of the rig."));
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
            if (onRecord.Take(await RecordedStudy.ReadAsync(onRecord.Store, onRecord.Calibrations, named, parsed.GetValue(calibration), cancellation)) is not { } study) return ExitCode.BadInput;
            if (asJson) CliJson.Write(context.Terminal, study.View);
            else context.Terminal.Lines(StudyText.Lines(study.View, context.Terminal.OutInk));
            return ExitCode.Good;
        });
        return command;
    }
}
