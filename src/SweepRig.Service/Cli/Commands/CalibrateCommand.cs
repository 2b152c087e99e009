using System.CommandLine;
using SweepRig.Service.Cli.Calibrating;
using SweepRig.Service.Cli.Parsing;

namespace SweepRig.Service.Cli.Commands;

/// <summary>Calibrates the rig of a running service against a reference meter.</summary>
public static class CalibrateCommand
{
    public static Command Build(CliContext context)
    {
        var command = new ExampledCommand(
            "calibrate", "Compares the rig of the running service with a reference meter, step by step. Each reading is kept at once: end it when you like and go on later with the same command.",
            new Example("sweeprig calibrate", "Asks what it needs to know; say later to leave off."),
            new Example("sweeprig calibrate --meter \"bench meter\" --meter-serial 1234 --percent-of-reading 0.025 --counts 2 --range 60 --last-place 0.001 --tube-out", "The meter stated on the command line."),
            new Example("sweeprig calibrate --practice-meter", "Practise on the simulated rig, whose practice meter reads by itself."),
            new Example("sweeprig calibrate --readings readings.json", "Readings from a file: { \"format\": \"calibration-readings/1\", \"tubeOut\": true, \"meter\": {...}, \"readings\": { \"drive-1\": -13.998, ... } }."))
        {
            CalibrateRecordsCommands.List(context),
            CalibrateRecordsCommands.Export(context),
            CalibrateRecordsCommands.Import(context),
            CalibrateRecordsCommands.Redo(context),
            CalibrateRecordsCommands.Abandon(context),
        };
        var practice = new Option<bool>("--practice-meter") { Description = "Let the practice meter of the simulated rig read" };
        var file = new Option<string?>("--readings") { Description = "File with the readings, or - for standard input", HelpName = "FILE" };
        var (rig, json, data, url) = (SharedOptions.Rig(), SharedOptions.Json(), SharedOptions.DataOnly(), SharedOptions.ServiceUrl());
        var begin = new BeginOptions();
        command.Add(practice);
        command.Add(file);
        begin.AddTo(command);
        command.Add(rig);
        command.Add(data);
        command.Add(url);
        command.Add(json);
        command.Validators.Add(result =>
        {
            if (result.GetValue(practice) && result.GetResult(file) is not null) result.AddError("--practice-meter stands with --readings: readings come from one of the two. Leave one out.");
        });
        command.SetAction(async (parsed, cancellation) =>
        {
            var asJson = parsed.GetValue(json);
            ReadingsFile? readings = null;
            if (parsed.GetValue(file) is { } path)
            {
                var read = ReadingsFile.Parse(path == PlanSource.StandardInput ? await context.Input.ReadToEndAsync(cancellation) : await File.ReadAllTextAsync(path, cancellation));
                if (!read.IsAccepted) return context.Tell(read.Refusals, asJson, ExitCode.BadInput, path);
                readings = read.Value;
            }
            IMeterReader meter = readings is not null ? new FileReader(readings.Readings ?? []) : parsed.GetValue(practice) ? new PracticeReader() : new PersonReader(context.Terminal, context.Input);
            return await ServiceDoor.EnterAtRigAsync(context, parsed.GetValue(url), parsed.GetValue(data), parsed.GetValue(rig), bench => new GuidedCalibration(context, bench, meter, asJson).RunAsync(
                async () => readings?.Begin ?? (meter is PracticeReader ? begin.Practice(parsed) : await begin.AskAsync(parsed, context, cancellation)), cancellation), cancellation);
        });
        return command;
    }
}
