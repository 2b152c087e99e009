using System.CommandLine;
using SweepRig.Service.Cli.Benches;
using SweepRig.Service.Cli.Calibrating;
using SweepRig.Service.Cli.Parsing;
using SweepRig.Service.Cli.Rendering;
using SweepRig.Service.Contract;
using SweepRig.Service.Live;

namespace SweepRig.Service.Cli.Commands;

/// <summary>Calibrations on record, and the one under way.</summary>
public static class CalibrateRecordsCommands
{
    public static Command List(CliContext context)
    {
        var command = new ExampledCommand("list", "Lists the calibrations on record, newest first.", new Example("sweeprig calibrate list", "Which there are, and which are stale."));
        return AtService(command, context, async (bench, _, json, cancellation) =>
        {
            var kept = await bench.CalibrationsAsync(cancellation);
            if (json)
            {
                CliJson.Write(context.Terminal, kept);
                return ExitCode.Good;
            }
            if (kept.Calibrations.Length == 0) context.Terminal.Complain("No calibration is on record. Make one: sweeprig calibrate.");
            var table = new TextTable([("rig", false), ("calibration", false), ("meter", false)]);
            foreach (var item in kept.Calibrations) table.Row(item.RigSerialNumber, CalibrationText.State(item.Calibration), item.Calibration.Meter ?? "");
            if (kept.Calibrations.Length > 0) foreach (var line in table.Lines(context.Terminal.OutInk)) context.Terminal.Line(line);
            return ExitCode.Good;
        });
    }

    public static Command Export(CliContext context)
    {
        var command = new ExampledCommand("export", "Writes a calibration as one JSON document.", new Example("sweeprig calibrate export cal-20260314-092653-SIM-0001 --output rig.json", "Into a file."));
        var id = new Argument<string>("ID") { Description = "Id of the calibration" };
        var output = new Option<string?>("--output", "-o") { Description = "File to write, or - for standard output (default: -)", HelpName = "FILE" };
        command.Add(id);
        command.Add(output);
        return AtService(command, context, async (bench, parsed, json, cancellation) =>
        {
            var found = await bench.CalibrationDocumentAsync(parsed.GetRequiredValue(id), cancellation);
            if (!found.IsAccepted) return context.Tell(found.Refusals, json, ExitCode.BadInput);
            using var document = found.Value;
            var text = CliJson.Text(document.RootElement);
            if (parsed.GetValue(output) is { } file and not "-") await RecordedRun.WriteFileAsync(file, writer => writer.WriteLineAsync(text));
            else context.Terminal.Line(text);
            return ExitCode.Good;
        });
    }

    public static Command Import(CliContext context)
    {
        var command = new ExampledCommand("import", "Keeps a calibration of the connected rig from its document.", new Example("sweeprig calibrate import rig.json", "One that was exported elsewhere; it must be of this rig."));
        var file = new Argument<string>("FILE") { Description = "The document, or - for standard input" };
        command.Add(file);
        return AtRig(command, context, async (bench, parsed, json, cancellation) =>
        {
            var path = parsed.GetRequiredValue(file);
            var text = path == PlanSource.StandardInput ? await context.Input.ReadToEndAsync(cancellation) : await File.ReadAllTextAsync(path, cancellation);
            var kept = await bench.ImportCalibrationAsync(text, cancellation);
            // The service tells where in its request a fault is; here it is where in the file.
            if (!kept.IsAccepted) return context.Tell([.. kept.Refusals.Select(r => r with { Path = r.Path.StartsWith("/calibration", StringComparison.Ordinal) ? r.Path["/calibration".Length..] : r.Path })], json, ExitCode.BadInput, path);
            if (json) CliJson.Write(context.Terminal, kept.Value);
            else context.Terminal.Line($"Kept: {CalibrationText.State(kept.Value)}.");
            return ExitCode.Good;
        });
    }

    public static Command Redo(CliContext context)
    {
        var command = new ExampledCommand("redo", "Takes back readings of the calibration under way.", new Example("sweeprig calibrate redo plate", "All readings at the plate."), new Example("sweeprig calibrate redo drive-3", "One reading."));
        var step = new Argument<string>("STEP") { Description = "A step by its id, or drive, grid, plate, screen or supply" };
        command.Add(step);
        return AtRig(command, context, async (bench, parsed, json, cancellation) => context.Answer(
            await bench.CalibrationAsync<CalibrationStatusView>(HttpMethod.Post, "redo", new CalibrationStepRequest(parsed.GetRequiredValue(step)), cancellation), json,
            status => $"Taken back. Next is {status.Procedure!.Current}; go on with sweeprig calibrate."));
    }

    public static Command Abandon(CliContext context)
    {
        var command = new ExampledCommand("abandon", "Gives up the calibration under way; its readings are gone.", new Example("sweeprig calibrate abandon", "The rig keeps working on what it had."));
        return AtRig(command, context, async (bench, _, json, cancellation) => context.Answer(
            await bench.CalibrationAsync<CalibrationStatusView>(HttpMethod.Delete, "", null, cancellation), json, _ => "Abandoned."));
    }

    private static Command AtRig(Command command, CliContext context, Func<RemoteBench, ParseResult, bool, CancellationToken, Task<int>> act)
    {
        var (rig, json, data, url) = (SharedOptions.Rig(), SharedOptions.Json(), SharedOptions.DataOnly(), SharedOptions.ServiceUrl());
        foreach (var option in new Option[] { rig, data, url, json }) command.Add(option);
        command.SetAction((parsed, cancellation) => ServiceDoor.EnterAtRigAsync(
            context, parsed.GetValue(url), parsed.GetValue(data), parsed.GetValue(rig), bench => act(bench, parsed, parsed.GetValue(json), cancellation), cancellation));
        return command;
    }

    private static Command AtService(Command command, CliContext context, Func<RemoteBench, ParseResult, bool, CancellationToken, Task<int>> act)
    {
        var (json, data, url) = (SharedOptions.Json(), SharedOptions.DataOnly(), SharedOptions.ServiceUrl());
        command.Add(data);
        command.Add(url);
        command.Add(json);
        command.SetAction((parsed, cancellation) => ServiceDoor.EnterAsync(
            context, parsed.GetValue(url), parsed.GetValue(data), bench => act(bench, parsed, parsed.GetValue(json), cancellation)));
        return command;
    }
}
