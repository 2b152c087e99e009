using System.CommandLine;
using SweepRig.Domain.Runs;
using SweepRig.Service.Cli.Commands.Stock;
using SweepRig.Service.Cli.Parsing;
using SweepRig.Service.Cli.Records;
using SweepRig.Service.Cli.Terminal;
using SweepRig.Service.Exports;
using SweepRig.Service.Live;

namespace SweepRig.Service.Cli.Commands;

/// <summary>Samples and levels of runs for other programs.</summary>
public static class RunsExportCommand
{
    private const string StandardOutput = "-";

    public static Command Build(CliContext context)
    {
        var command = new ExampledCommand(
            "export", "Writes samples and levels of one run or many as CSV (RFC 4180), JSON or Parquet, with their units. The ending of a file says in which form.",
            new Example($"sweeprig runs export {RunFinder.Latest} --output curve.csv", "The curves of a run."),
            new Example($"sweeprig runs export {RunFinder.Latest} | head", "Into a pipe, as CSV; with --json as JSON."),
            new Example("sweeprig runs export --lot Skua --output samples.parquet --levels levels.parquet", "All of a lot, in two files."),
            new Example("sweeprig runs export --tube SKUA-014 --levels levels.csv", "Only the levels of a tube's runs."));
        var ids = new Argument<string[]>("ID") { Description = $"Ids of runs, or their first digits, or \"{RunFinder.Latest}\"", Arity = ArgumentArity.ZeroOrMore };
        var lots = Several("--lot", "NAME", "All runs of the tubes of a lot; may be given several times");
        var tubes = Several("--tube", "NUMBER", "All runs of a tube; may be given several times");
        var calibration = RunsCommand.CalibrationOption();
        var output = new Option<string?>("--output", "-o") { Description = "File for the samples: .csv, .json or .parquet; - for standard output (default: - for one run, nothing for more)", HelpName = "FILE" };
        var levels = new Option<string?>("--levels") { Description = "File for the levels, a row a level of a curve: .csv, .json or .parquet", HelpName = "FILE" };
        var (json, data) = (SharedOptions.Json(), SharedOptions.Data());
        command.Add(ids);
        foreach (var option in new Option[] { lots, tubes, calibration, output, levels, data, json }) command.Add(option);
        command.Validators.Add(result =>
        {
            var many = result.GetValue(lots) is { Length: > 0 } || result.GetValue(tubes) is { Length: > 0 } || result.GetValue(ids) is { Length: > 1 };
            if (!many && result.GetValue(ids) is not { Length: > 0 }) result.AddError("No run was named. Give an ID, --tube NUMBER or --lot NAME.");
            else if (many && (result.GetValue(output) ?? StandardOutput) == StandardOutput && result.GetValue(levels) is null)
                result.AddError("Many runs go into files. Give --output FILE for the samples, --levels FILE for the levels, or both.");
        });
        command.SetAction(async (parsed, cancellation) =>
        {
            // A refusal stays words here even with --json, which is the form of the curves.
            await using var onRecord = await OnRecord.OpenAsync(context, parsed.GetValue(data), json: false, cancellation);
            if (onRecord is null || await onRecord.FindAsync(parsed.GetValue(ids) ?? [], cancellation) is not { } named) return ExitCode.BadInput;
            var (samplesFile, levelsFile) = (parsed.GetValue(output), parsed.GetValue(levels));
            if (named.Count == 1 && levelsFile is null && parsed.GetValue(lots) is not { Length: > 0 } && parsed.GetValue(tubes) is not { Length: > 0 } && (samplesFile ?? StandardOutput) == StandardOutput)
                return await PipeAsync(context, onRecord, named[0], parsed.GetValue(calibration), parsed.GetValue(json), cancellation);
            if (onRecord.Take(await ExportChoice.IdsAsync(
                onRecord.Store, StockCommand.Of(context, onRecord.Store), [.. named.Select(r => r.Header.Id)], parsed.GetValue(lots) ?? [],
                [.. (parsed.GetValue(tubes) ?? []).Select(StockCommand.Label)], cancellation)) is not { } chosen) return ExitCode.BadInput;
            IReadOnlyList<string>? written;
            using (var progress = new ProgressLine(context.Terminal, context.Time, "Runs written"))
            {
                written = onRecord.Take(await RunExport.ToFilesAsync(
                    onRecord.Store, onRecord.Calibrations, chosen, parsed.GetValue(calibration), samplesFile == StandardOutput ? null : samplesFile, levelsFile,
                    parsed.GetValue(json) ? TableForm.Json : TableForm.Csv, progress.Show, cancellation));
            }
            return written is null ? ExitCode.BadInput : ExitCode.Good;
        });
        return command;
    }

    private static async Task<int> PipeAsync(CliContext context, OnRecord onRecord, RunRecord record, string? calibration, bool json, CancellationToken cancellation)
    {
        if (onRecord.Take(await RecordedRun.ReadAsync(onRecord.Store, onRecord.Calibrations, record, calibration, cancellation)) is not { } run) return ExitCode.BadInput;
        if (json) await context.Terminal.Out.WriteLineAsync(CliJson.Text(run.CurvesView));
        else await run.WriteCsvAsync(context.Terminal.Out);
        return ExitCode.Good;
    }

    private static Option<string[]> Several(string name, string value, string description) =>
        new(name) { Description = description, HelpName = value, Arity = ArgumentArity.OneOrMore, AllowMultipleArgumentsPerToken = true };
}
