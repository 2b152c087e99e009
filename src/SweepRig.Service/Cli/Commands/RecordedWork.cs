using System.CommandLine;
using SweepRig.Domain;
using SweepRig.Domain.Runs;
using SweepRig.Service.Cli.Parsing;
using SweepRig.Service.Cli.Records;
using SweepRig.Service.Cli.Terminal;

namespace SweepRig.Service.Cli.Commands;

/// <summary>Commands that tell of what several runs on record were parts of, whichever of them is named.</summary>
internal static class RecordedWork
{
    /// <param name="read">Makes anew what is told: of the run that was named, with a calibration as asked for or null.</param>
    /// <param name="lines">For people; a program gets the view itself.</param>
    /// <returns><paramref name="command"/>.</returns>
    public static Command Of<T>(
        ExampledCommand command, CliContext context, Func<OnRecord, RunRecord, string?, CancellationToken, Task<Outcome<T>>> read, Func<T, Ink, IEnumerable<string>> lines)
        where T : class
    {
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
            if (onRecord.Take(await read(onRecord, named, parsed.GetValue(calibration), cancellation)) is not { } view) return ExitCode.BadInput;
            if (asJson) CliJson.Write(context.Terminal, view);
            else context.Terminal.Lines(lines(view, context.Terminal.OutInk));
            return ExitCode.Good;
        });
        return command;
    }
}
