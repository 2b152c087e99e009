using System.CommandLine;
using SweepRig.Domain.Watching;
using SweepRig.Service.Api;
using SweepRig.Service.Cli.Parsing;
using SweepRig.Service.Cli.Rendering;
using SweepRig.Service.Watching;
using SweepRig.Storage;

namespace SweepRig.Service.Cli.Commands;

/// <summary>What befell the bench while nobody looked. Works while a service runs, and without one.</summary>
public static class EventsCommand
{
    private const int Usual = 20;

    public static Command Build(CliContext context)
    {
        var command = new ExampledCommand(
            "events", "Lists what befell the bench: trips, rigs gone and back, drift, disk and store. Works while a service runs, and without one.",
            new Example("sweeprig events", $"The newest {Usual}."),
            new Example("sweeprig events --since 12h --least warning", "What did not go as planned last night."),
            new Example("sweeprig events --unseen --seen", "What nobody has seen yet, and note that it has been seen now."));
        var since = TimeBack.Option("--since", "Only what happened since then: so long ago (45min, 8h, 2d), or a date");
        var least = Word("--least", "WORD", $"Only what matters as much or more: {string.Join(", ", EventWords.Severities)} (default: note)", w => EventWords.Severity(w) is not null, w => EventWords.BadSeverity("", w).ToString());
        var kind = Word("--kind", "KIND", "Only of this kind, for example trip or rig-gone (default: all)", w => EventWords.Kind(w) is not null, w => EventWords.BadKind("", w).ToString());
        var rig = Bounded.Text("--rig", "NAME", "Only of this rig (default: all)", 80, "Give the name of a rig as the list shows it.");
        var unseen = new Option<bool>("--unseen") { Description = "Only what nobody has seen" };
        var seen = new Option<bool>("--seen") { Description = "Note that everything up to the newest one listed has been seen" };
        var limit = Bounded.Whole("--limit", "N", $"How many at most (default: {Usual})", 1, RequestFaults.MaxRunsListed, "events", "Narrow the list with --since or --least.");
        var (json, data) = (SharedOptions.Json(), SharedOptions.Data());
        foreach (var option in new Option[] { since, least, kind, rig, unseen, seen, limit, data, json }) command.Add(option);
        command.SetAction(async (parsed, cancellation) =>
        {
            var now = context.Time.GetUtcNow();
            DateTimeOffset? from = null;
            if (parsed.GetValue(since) is { } text && (from = TimeBack.Parse(text, now)) is null)
            {
                context.Terminal.Complain($"--since {text}: allowed is {TimeBack.Allowed}. It lies ahead; give for example --since 12h.");
                return ExitCode.BadInput;
            }
            var choice = new EventChoice(
                FromUtc: from, Least: parsed.GetValue(least) is { } word ? EventWords.Severity(word)!.Value : EventSeverity.Note, Rig: parsed.GetValue(rig),
                Kind: parsed.GetValue(kind) is { } k ? EventWords.Kind(k) : null, Unseen: parsed.GetValue(unseen));
            await using var runs = await RunsCommand.OpenAsync(context, parsed.GetValue(data), cancellation);
            var store = runs is null ? null : new EventStore(runs);
            var list = store is null ? new([], 0, 0, null) : await EventViews.ListAsync(store, choice, parsed.GetValue(limit) ?? Usual, cancellation);
            if (store is not null && parsed.GetValue(seen) && list.Events.Length > 0)
            {
                await store.MarkSeenAsync(list.Events[0].Number, cancellation);
                list = list with { Unseen = await store.CountAsync(new(Least: EventSeverity.Warning, Unseen: true), cancellation) };
            }
            if (parsed.GetValue(json)) CliJson.Write(context.Terminal, list);
            else context.Terminal.Lines(EventText.Lines(list, list.Newest == 0 ? $"Nothing has happened on {context.StoreName(parsed.GetValue(data))} yet." : "Nothing of that kind.", context.Terminal.OutInk));
            return ExitCode.Good;
        });
        return command;
    }

    private static Option<string?> Word(string name, string valueName, string description, Func<string, bool> isOne, Func<string, string> fault)
    {
        var option = new Option<string?>(name) { Description = description, HelpName = valueName };
        option.Validators.Add(result =>
        {
            if (result.Tokens.Count > 0 && !isOne(result.Tokens[^1].Value)) result.AddError($"{name} {fault(result.Tokens[^1].Value)}");
        });
        return option;
    }
}
