using System.CommandLine;
using SweepRig.Service.Archives;
using SweepRig.Service.Cli.Commands.Stock;
using SweepRig.Service.Cli.Parsing;
using SweepRig.Service.Cli.Records;
using SweepRig.Service.Cli.Terminal;
using SweepRig.Service.Contract;
using SweepRig.Service.Hosting;
using SweepRig.Service.Live;
using SweepRig.Storage.Archives;

namespace SweepRig.Service.Cli.Commands.Archives;

public static class ArchiveWriteCommand
{
    public static Command Build(CliContext context)
    {
        var command = new ExampledCommand(
            "write", "Writes an archive: runs with their samples as the rig sent them, plans, calibrations, trips and gaps, lots and tubes with their histories, documents of their types.",
            new Example("sweeprig archive write all.zip", "All that is here."),
            new Example("sweeprig archive write skua.zip --lot Skua --lot Petrel", "Two lots."),
            new Example($"sweeprig archive write one.zip --run {RunFinder.Latest}", "One run with its tube."));
        var file = new Argument<string>("FILE") { Description = "File to write; an older one of that name is replaced once the new one is whole" };
        var lots = Several("--lot", "NAME", "A lot with its tubes and their runs; may be given several times (default: all that is here)");
        var tubes = Several("--tube", "NUMBER", "A tube with its runs; may be given several times");
        var ids = Several("--run", "ID", "A run with its tube; may be given several times");
        var (json, data) = (SharedOptions.Json(), SharedOptions.Data());
        command.Add(file);
        foreach (var option in new Option[] { lots, tubes, ids, data, json }) command.Add(option);
        command.SetAction(async (parsed, cancellation) =>
        {
            var asJson = parsed.GetValue(json);
            await using var onRecord = await OnRecord.OpenAsync(context, parsed.GetValue(data), asJson, cancellation);
            if (onRecord is null || await onRecord.FindAsync(parsed.GetValue(ids) ?? [], cancellation) is not { } records) return ExitCode.BadInput;
            var stock = StockCommand.Of(context, onRecord.Store);
            var what = new ArchiveSelection(parsed.GetValue(lots) ?? [], [.. (parsed.GetValue(tubes) ?? []).Select(StockCommand.Label)], [.. records.Select(r => r.Header.Id)]);
            var known = await ArchiveChoice.UnknownAsync(onRecord.Store, stock, what, cancellation);
            if (known.Count > 0) return context.Tell(known, asJson, ExitCode.BadInput);
            WrittenArchive? written = null;
            using (var progress = new ProgressLine(context.Terminal, context.Time, "Runs written"))
            {
                var writer = new ArchiveWriter(onRecord.Store, stock, onRecord.Calibrations, context.Time);
                await RecordedRun.WriteFileAsync(parsed.GetRequiredValue(file), async (Stream stream) =>
                    written = await writer.WriteAsync(stream, what, TypeDocuments.Of(DataPlace.Of(parsed.GetValue(data), context.Variable)), BenchServices.SoftwareVersion, progress.Show, cancellation));
            }
            if (asJson) CliJson.Write(context.Terminal, ArchiveViews.Of(written!));
            else context.Terminal.Lines(Words(written!));
            return ExitCode.Good;
        });
        return command;
    }

    private static IEnumerable<string> Words(WrittenArchive written)
    {
        yield return $"{Count(written.Runs.Count, "run")}, {Count(written.Tubes, "tube")} of {Count(written.Lots, "lot")}, {Count(written.Calibrations.Count, "calibration")}, {Count(written.Types, "document")} of types.";
        if (written.LeftOut.Count > 0) yield return $"Left out, as they are still being recorded: {string.Join(", ", written.LeftOut)}.";
    }

    private static string Count(int count, string what) => FormattableString.Invariant($"{count} {what}{(count == 1 ? "" : "s")}");

    private static Option<string[]> Several(string name, string value, string description) =>
        new(name) { Description = description, HelpName = value, Arity = ArgumentArity.OneOrMore, AllowMultipleArgumentsPerToken = true };
}
