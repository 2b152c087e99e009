using System.CommandLine;
using SweepRig.Service.Cli.Parsing;
using SweepRig.Service.Cli.Records;
using SweepRig.Service.Live;

namespace SweepRig.Service.Cli.Commands;

public static class RunsExportCommand
{
    private const string StandardOutput = "-";

    public static Command Build(CliContext context)
    {
        var command = new ExampledCommand(
            "export", "Writes the curves of a run as CSV (RFC 4180), units in the header; with --json as JSON.",
            new Example($"sweeprig runs export {RunFinder.Latest} --output curve.csv", "Into a file."),
            new Example($"sweeprig runs export {RunFinder.Latest} | head", "Into a pipe."));
        var run = RunsCommand.RunArgument();
        var calibration = RunsCommand.CalibrationOption();
        var output = new Option<string?>("--output", "-o") { Description = "File to write, or - for standard output (default: -)", HelpName = "FILE" };
        var (json, data) = (SharedOptions.Json(), SharedOptions.Data());
        command.Add(run);
        command.Add(calibration);
        command.Add(output);
        command.Add(data);
        command.Add(json);
        command.SetAction(async (parsed, cancellation) =>
        {
            var asJson = parsed.GetValue(json);
            // A refusal stays words here even with --json, which is the form of the curves.
            var recorded = await RunsCommand.ReadAsync(context, parsed.GetValue(data), parsed.GetRequiredValue(run), parsed.GetValue(calibration), json: false, cancellation);
            if (recorded is null) return ExitCode.BadInput;
            var file = parsed.GetValue(output) ?? StandardOutput;
            if (file == StandardOutput) await WriteAsync(recorded, asJson, context.Terminal.Out);
            else await RecordedRun.WriteFileAsync(file, writer => WriteAsync(recorded, asJson, writer));
            return ExitCode.Good;
        });
        return command;
    }

    private static async Task WriteAsync(RecordedRun run, bool json, TextWriter writer)
    {
        if (json) await writer.WriteLineAsync(CliJson.Text(run.CurvesView));
        else await run.WriteCsvAsync(writer);
    }
}
