using System.CommandLine;
using Microsoft.Extensions.Logging.Abstractions;
using SweepRig.Domain;
using SweepRig.Service.Api;
using SweepRig.Service.Cli.Benches;
using SweepRig.Service.Cli.Parsing;
using SweepRig.Service.Cli.Records;
using SweepRig.Service.Contract;
using SweepRig.Service.Fits;
using SweepRig.Service.Mornings;
using SweepRig.Service.Watching.Alarms;
using SweepRig.Storage;

namespace SweepRig.Service.Cli.Commands;

/// <summary>The morning report: of the running service, which knows how the rigs are now, or of what is on record alone.</summary>
public static class MorningCommand
{
    public static Command Build(CliContext context)
    {
        var command = new ExampledCommand(
            "night", "Writes the morning report: the bench now, what to do first, what ran, what tripped and why, what drifted, what became of alarms.",
            new Example("sweeprig report night --to morning.pdf", "Of the last 14 hours."),
            new Example("sweeprig report night 019abc --to morning.pdf", "Of one night."),
            new Example("sweeprig report night --since 2026-11-26T21:00 --to morning.html", "Of another time; UTC unless it says otherwise."));
        var since = TimeBack.Option("--since", "Begin of the time looked at: so long ago (45min, 8h, 2d), or a date (default: 14h)");
        var night = new Argument<string?>("ID") { Description = "The time of this night: its id, or its first digits (default: by --since)", Arity = ArgumentArity.ZeroOrOne };
        command.Validators.Add(result =>
        {
            if (result.GetValue(night) is not null && result.GetResult(since)?.Implicit == false) result.AddError("A night has its own time. Leave out ID or --since.");
        });
        var files = new ReportFiles();
        var (json, data) = (SharedOptions.Json(), SharedOptions.Data());
        command.Add(night);
        command.Add(since);
        files.AddTo(command);
        command.Add(data);
        command.Add(json);
        command.SetAction(async (parsed, cancellation) =>
        {
            var asJson = parsed.GetValue(json);
            var span = parsed.GetValue(night) is { } id ? await NightAsync(context, parsed.GetValue(data), id, cancellation) : MorningEndpoints.Span(parsed.GetValue(since), null, context.Time);
            if (!span.IsAccepted) return context.Tell(span.Refusals, asJson, ExitCode.BadInput);
            var directory = DataPlace.Of(parsed.GetValue(data), context.Variable);
            var alarms = AlarmDocument.OfDirectory(directory);
            var config = alarms.IsAccepted ? alarms.Value : AlarmConfig.None;
            var morning = await AskedAsync(directory, span.Value, cancellation);
            if (morning is null)
            {
                await using var onRecord = await OnRecord.OpenAsync(context, parsed.GetValue(data), asJson, cancellation);
                if (onRecord is null) return ExitCode.BadInput;
                morning = await ReadAsync(context, onRecord.Store, directory, span.Value, cancellation);
            }
            var written = await files.WriteAsync(parsed, MorningReport.Of(morning, config.Report?.Zone ?? TimeZoneInfo.Utc));
            if (asJson) CliJson.Write(context.Terminal, new WrittenReport("night", written));
            else context.Terminal.Lines([morning.Headline]);
            return ExitCode.Good;
        });
        return command;
    }

    /// <returns>The time of a night; up to now while it is not over.</returns>
    private static async Task<Outcome<MorningSpan>> NightAsync(CliContext context, string? data, string id, CancellationToken cancellation)
    {
        await using var runs = await RunsCommand.OpenAsync(context, data, cancellation);
        var nights = runs is null ? [] : await new NightStore(runs, context.Time).ListAsync(500, null, cancellation);
        var found = nights.Where(n => n.Id.StartsWith(id, StringComparison.OrdinalIgnoreCase)).ToList();
        return found.Count == 1
            // Its last events are told a moment after its end.
            ? Outcome<MorningSpan>.Accept(new(found[0].BegunUtc, found[0].EndedUtc?.AddMinutes(1) ?? context.Time.GetUtcNow()))
            : Outcome<MorningSpan>.Refuse(new Refusal("night-unknown", "/id", $"night {id}", found.Count == 0 ? "none of that id is on record" : $"{found.Count} nights begin so", "sweeprig night list names those there are."));
    }

    /// <returns>What the running service says; null when there is none, or it does not answer.</returns>
    private static async Task<MorningView?> AskedAsync(string directory, MorningSpan span, CancellationToken cancellation)
    {
        if (RunningService.Find(directory) is not { } service) return null;
        await using var bench = new RemoteBench(service);
        try
        {
            return await bench.MorningAsync(span.FromUtc, span.UntilUtc, cancellation);
        }
        catch (BenchUnreachableException)
        {
            return null;
        }
    }

    private static async Task<MorningView> ReadAsync(CliContext context, RunStore runs, string directory, MorningSpan span, CancellationToken cancellation)
    {
        using var workbench = new Workbench();
        var read = AlarmDocument.OfDirectory(directory);
        var (pending, done) = AlarmJournal.Of(directory, NullLogger.Instance);
        var alarms = AlarmViews.Of(read.IsAccepted ? read.Value : AlarmConfig.None, read.IsAccepted ? [] : read.Refusals, pending, done);
        return await new MorningReader(runs, new EventStore(runs), new(runs, context.Time), new(workbench)).ReadAsync(span, context.Time.GetUtcNow(), [], alarms, cancellation);
    }
}
