using System.CommandLine;
using Microsoft.Extensions.Logging.Abstractions;
using SweepRig.Domain;
using SweepRig.Service.Cli.Parsing;
using SweepRig.Service.Cli.Rendering;
using SweepRig.Service.Contract;
using SweepRig.Service.Watching.Alarms;

namespace SweepRig.Service.Cli.Commands;

/// <summary>Where alarms go: looked at, and tried. They are set up by a file of the data directory alone.</summary>
public static class AlarmsCommand
{
    public static Command Build(CliContext context)
    {
        var command = new ExampledCommand(
            "alarms", $"Looks at and tries where alarms go, as {AlarmDocument.FileName} in the data directory says. Nothing but that file changes it, so that nobody can silence a bench from elsewhere.",
            new Example($"sweeprig alarms example > {AlarmDocument.FileName}", "A file to begin with."),
            new Example("sweeprig alarms try", "A trial alarm along every way."))
        {
            Check(context),
            Try(context),
            List(context),
            ForExample(context),
        };
        command.SetAction(parsed => new HelpWithExamples(new System.CommandLine.Help.HelpAction(), context.Terminal.Width).Invoke(parsed));
        return command;
    }

    private static ExampledCommand Check(CliContext context)
    {
        var command = new ExampledCommand(
            "check", "Says where alarms would go, and everything that is wrong with the file. Sends nothing.",
            new Example("sweeprig alarms check", "Before or after a change of the file; a running service takes it within 10 s, and says so among its events."));
        var (json, data) = (SharedOptions.Json(), SharedOptions.DataOnly());
        command.Add(data);
        command.Add(json);
        command.SetAction(parsed =>
        {
            var (asJson, directory) = (parsed.GetValue(json), DataPlace.Of(parsed.GetValue(data), context.Variable));
            var read = AlarmDocument.OfDirectory(directory);
            if (!read.IsAccepted) return context.Tell(read.Refusals, asJson, ExitCode.BadInput);
            var doubts = Doubts(read.Value).ToArray();
            if (asJson) CliJson.Write(context.Terminal, new CheckedAlarms([.. read.Value.Ways.Select(w => new AlarmWayView(w.Name, w.Kind, w.Where))], doubts));
            else context.Terminal.Lines(AlarmText.Checked(read.Value, directory, doubts, context.Terminal.OutInk));
            return doubts.Length == 0 ? ExitCode.Good : ExitCode.BadInput;
        });
        return command;
    }

    private static ExampledCommand Try(CliContext context)
    {
        var command = new ExampledCommand(
            "try", "Sends a trial alarm now, along every way or one, once each, and says what became of it.",
            new Example("sweeprig alarms try", "Along every way."),
            new Example("sweeprig alarms try --way keepers", "Along one."));
        var only = Bounded.Text("--way", "NAME", "Only along this way (default: all)", 40, "Give a name that sweeprig alarms check shows.");
        var (json, data) = (SharedOptions.Json(), SharedOptions.DataOnly());
        command.Add(only);
        command.Add(data);
        command.Add(json);
        command.SetAction(async (parsed, cancellation) =>
        {
            var (asJson, directory) = (parsed.GetValue(json), DataPlace.Of(parsed.GetValue(data), context.Variable));
            var read = AlarmDocument.OfDirectory(directory);
            if (!read.IsAccepted) return context.Tell(read.Refusals, asJson, ExitCode.BadInput);
            var ways = read.Value.Ways.Where(w => parsed.GetValue(only) is not { } name || w.Name == name).ToList();
            if (ways.Count == 0) return context.Tell([NoWay(parsed.GetValue(only), read.Value, directory)], asJson, ExitCode.BadInput);
            using var senders = new AlarmSenders(context.Time);
            var tried = await Task.WhenAll(ways.Select(async way =>
            {
                try
                {
                    await AlarmLane.AttemptAsync(senders.SendAsync, way, AlarmMessage.Trying(context.Time.GetUtcNow()), context.Time, cancellation);
                    return new TriedAlarm(way.Name, way.Where, true, null);
                }
                catch (AlarmFailedException failure)
                {
                    return new TriedAlarm(way.Name, way.Where, false, failure.Message);
                }
            }));
            if (asJson) CliJson.Write(context.Terminal, tried);
            else context.Terminal.Lines(tried.Select(t => t.Delivered ? $"{t.Way}: taken by {t.Where}. See that it has arrived." : $"{t.Way}: {context.Terminal.OutInk.Alarm("not delivered")}: {t.Fault}."));
            return tried.All(t => t.Delivered) ? ExitCode.Good : ExitCode.Failed;
        });
        return command;
    }

    private static ExampledCommand List(CliContext context)
    {
        var command = new ExampledCommand(
            "list", "Lists alarms that wait, and what became of the last ones.",
            new Example("sweeprig alarms list", "The newest first."));
        var (json, data) = (SharedOptions.Json(), SharedOptions.DataOnly());
        command.Add(data);
        command.Add(json);
        command.SetAction(parsed =>
        {
            var directory = DataPlace.Of(parsed.GetValue(data), context.Variable);
            var read = AlarmDocument.OfDirectory(directory);
            var (pending, done) = AlarmJournal.Of(directory, NullLogger.Instance);
            var view = AlarmViews.Of(read.IsAccepted ? read.Value : AlarmConfig.None, read.IsAccepted ? [] : read.Refusals, pending, done);
            if (parsed.GetValue(json)) CliJson.Write(context.Terminal, view);
            else context.Terminal.Lines(AlarmText.Listed(view, context.Terminal.OutInk));
            return ExitCode.Good;
        });
        return command;
    }

    private static ExampledCommand ForExample(CliContext context)
    {
        var command = new ExampledCommand(
            "example", $"Writes an {AlarmDocument.FileName} to begin with, or its schema.",
            new Example($"sweeprig alarms example > {AlarmDocument.FileName}", "Change addresses and paths, then sweeprig alarms check."),
            new Example("sweeprig alarms example --schema > alarms.schema.json", "For an editor that checks while you write."));
        var schema = new Option<bool>("--schema") { Description = "Write the JSON Schema of the file instead" };
        var json = SharedOptions.Json();
        command.Add(schema);
        command.Add(json);
        command.SetAction(parsed =>
        {
            context.Terminal.Line((parsed.GetValue(schema) ? AlarmDocument.Schema : AlarmDocument.Example).TrimEnd());
            return ExitCode.Good;
        });
        return command;
    }

    /// <summary>What stands in the file rightly and will not work all the same.</summary>
    private static IEnumerable<string> Doubts(AlarmConfig config)
    {
        foreach (var way in config.Ways)
        {
            var secret = way switch { AlarmWay.Webhook w => w.Secret, AlarmWay.Mail m => m.Password, _ => null };
            // A variable may be set for the service alone.
            if (secret?.File is not null && Unreadable(secret) is { } fault) yield return $"{way.Name}: {fault}.";
            if (way is AlarmWay.Mail { TrustedCertificate: { } certificate } && !File.Exists(certificate)) yield return $"{way.Name}: the trusted certificate {certificate} is not there.";
            if (way is AlarmWay.Command { Program: var program } && !File.Exists(program)) yield return $"{way.Name}: the program {program} is not there.";
            if (!config.Rules.Any(r => r.To.Contains(way.Name)) && config.Report?.To.Contains(way.Name) != true) yield return $"{way.Name}: no rule sends anything there.";
        }
    }

    private static string? Unreadable(SecretSource secret)
    {
        try
        {
            secret.Read();
            return null;
        }
        catch (AlarmFailedException failure)
        {
            return failure.Message;
        }
    }

    private static Refusal NoWay(string? name, AlarmConfig config, string directory) => config.Ways.Count == 0
        ? new("no-ways", "", "a trial alarm", $"{Path.Combine(directory, AlarmDocument.FileName)} names no way, or is not there", "Begin with sweeprig alarms example.")
        : new("way-unknown", "/way", $"way {name}", $"the ways are {string.Join(", ", config.Ways.Select(w => w.Name))}", "Name one of these, or none for all.");

    private sealed record CheckedAlarms(AlarmWayView[] Ways, string[] Doubts);

    private sealed record TriedAlarm(string Way, string Where, bool Delivered, string? Fault);
}
