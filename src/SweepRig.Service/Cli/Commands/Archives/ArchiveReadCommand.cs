using System.CommandLine;
using SweepRig.Domain;
using SweepRig.Service.Archives;
using SweepRig.Service.Cli.Commands.Stock;
using SweepRig.Service.Cli.Commands.Types;
using SweepRig.Service.Cli.Parsing;
using SweepRig.Service.Cli.Rendering;
using SweepRig.Service.Cli.Terminal;
using SweepRig.Service.Contract;
using SweepRig.Storage;
using SweepRig.Storage.Archives;

namespace SweepRig.Service.Cli.Commands.Archives;

/// <summary>Looks at an archive, or takes it in.</summary>
public static class ArchiveReadCommand
{
    private const int MostConflicts = 30;

    public static Command Look(CliContext context)
    {
        var command = new ExampledCommand(
            "look", "Reads and checks an archive, and says what it would bring here and what stands against it. Nothing is changed.",
            new Example("sweeprig archive look skua.zip", "Before you take it in."));
        var file = ArchiveCommand.FileArgument();
        var lots = LotOption();
        var (json, data) = (SharedOptions.Json(), SharedOptions.Data());
        command.Add(file);
        foreach (var option in new Option[] { lots, data, json }) command.Add(option);
        command.SetAction(async (parsed, cancellation) =>
        {
            var choices = LotNames.Read(parsed.GetValue(lots) ?? [], keepHere: false);
            return choices.IsAccepted
                ? await RunAsync(
                    context, parsed.GetRequiredValue(file), parsed.GetValue(data), parsed.GetValue(json), takeIn: false, keepTypes: false,
                    (reader, stream, progress) => reader.LookAsync(stream, choices.Value, progress, cancellation), cancellation)
                : context.Tell(choices.Refusals, parsed.GetValue(json), ExitCode.BadInput);
        });
        return command;
    }

    public static Command Read(CliContext context)
    {
        var command = new ExampledCommand(
            "read", "Takes an archive in, whole or not at all. Nothing that is here is changed, except that histories of tubes go on; what is in conflict stops it, and is shown.",
            new Example("sweeprig archive read skua.zip", "Stops, and shows it, where something is here and is not the same."),
            new Example("sweeprig archive read skua.zip --keep-here", "Takes in the rest; what is in conflict stays as it is here."),
            new Example("sweeprig archive read skua.zip --lot \"Skua=Skua B\"", "Both benches called a lot Skua: this one becomes Skua B, its tubes SKUAB-001 and so on."));
        var file = ArchiveCommand.FileArgument();
        var keep = new Option<bool>("--keep-here") { Description = "Leave out of the archive what is in conflict, and take in the rest" };
        var (json, data) = (SharedOptions.Json(), SharedOptions.Data());
        var lots = LotOption();
        var types = new Option<bool>("--types") { Description = "Put documents of types that are not known here into the folder of your own types" };
        command.Add(file);
        foreach (var option in new Option[] { keep, lots, types, data, json }) command.Add(option);
        command.SetAction(async (parsed, cancellation) =>
        {
            var choices = LotNames.Read(parsed.GetValue(lots) ?? [], parsed.GetValue(keep));
            if (!choices.IsAccepted) return context.Tell(choices.Refusals, parsed.GetValue(json), ExitCode.BadInput);
            // One long transaction would keep a sweep of a service on this directory waiting.
            var taken = DataDirectoryLock.TryTake(DataPlace.Of(parsed.GetValue(data), context.Variable));
            if (!taken.IsAccepted)
                return context.Tell([.. taken.Refusals.Select(r => r with { Remedy = r.Remedy + " A service that runs there takes an archive too: POST /api/archive." })], parsed.GetValue(json), ExitCode.BadInput);
            using (taken.Value)
            {
                return await RunAsync(
                    context, parsed.GetRequiredValue(file), parsed.GetValue(data), parsed.GetValue(json), takeIn: true, parsed.GetValue(types),
                    (reader, stream, progress) => reader.TakeInAsync(stream, choices.Value, progress, cancellation), cancellation);
            }
        });
        return command;
    }

    private static Option<string[]> LotOption() => new("--lot")
    {
        Description = "Another name here for a lot of the archive, with other numbers for its tubes; write these on them. May be given several times", HelpName = "NAME=OTHER", Arity = ArgumentArity.OneOrMore,
    };

    private static async Task<int> RunAsync(
        CliContext context, string file, string? data, bool json, bool takeIn, bool keepTypes, Func<ArchiveReader, Stream, Action<int, int>, Task<Outcome<ArchiveFindings>>> work, CancellationToken cancellation)
    {
        if (!File.Exists(file)) return context.Tell([new Refusal("file-unknown", "", $"archive {file}", "there is no such file", "Check its name.")], json, ExitCode.BadInput);
        await using var stream = new FileStream(file, FileMode.Open, FileAccess.Read, FileShare.Read);
        await using var runs = await RunsCommand.MakeAsync(context, data, cancellation);
        Outcome<ArchiveFindings> found;
        using (var progress = new ProgressLine(context.Terminal, context.Time, "Runs checked"))
            found = await work(new ArchiveReader(runs, StockCommand.Of(context, runs), new(runs, context.Time)), stream, progress.Show);
        if (!found.IsAccepted) return context.Tell(found.Refusals, json, ExitCode.BadInput, file);
        if (json) CliJson.Write(context.Terminal, ArchiveViews.Of(found.Value));
        else Write(context.Terminal, found.Value, takeIn);
        await TypesAsync(context, data, found.Value, keepTypes && found.Value.TakenIn, cancellation);
        return takeIn && !found.Value.TakenIn ? ExitCode.Refused : ExitCode.Good;
    }

    private static async Task TypesAsync(CliContext context, string? data, ArchiveFindings found, bool keep, CancellationToken cancellation)
    {
        var unknown = TypeDocuments.Unknown(found.Types, TypesCommand.Catalogue(context, data));
        if (unknown.Count == 0) return;
        if (!keep)
        {
            context.Terminal.Complain($"Types that are not known here: {string.Join(", ", unknown.Select(u => u.Name))}. With --types, archive read puts their documents into the folder of your own types.");
            return;
        }
        foreach (var line in await TypeDocuments.KeepAsync(DataPlace.Of(data, context.Variable), unknown, cancellation)) context.Terminal.Complain(line);
    }

    private static void Write(CliTerminal terminal, ArchiveFindings found, bool takeIn)
    {
        terminal.Lines([FormattableString.Invariant($"Written by SweepRig {found.Manifest.SoftwareVersion} on {found.Manifest.MadeUtc:yyyy-MM-dd HH:mm} UTC.")]);
        var table = new TextTable(("", false), ("new", true), ("here already", true));
        void Row(string what, int added, int same) => table.Row(what, $"{added}", $"{same}");
        Row("runs", found.NewRuns.Count, found.SameRuns);
        Row("tubes", found.NewTubes.Count, found.SameTubes);
        table.Row("histories that go on", $"{found.LongerTubes.Count}", "");
        table.Row("lots", $"{found.NewLots.Count}", "");
        table.Row("calibrations", $"{found.NewCalibrations.Count}", "");
        foreach (var line in table.Lines(terminal.OutInk)) terminal.Line(line);
        terminal.Lines(found.Conflicts.Take(MostConflicts).Select(c => $"Conflict: {c.Kind} {c.Name}: here {c.Here}; in the archive {c.There}."));
        if (found.Conflicts.Count > MostConflicts) terminal.Lines([$"{found.Conflicts.Count - MostConflicts} more conflicts; --json has them all."]);
        terminal.Lines([(found, takeIn) switch
        {
            ({ TakenIn: true, BringsNothing: true }, _) => "Nothing has changed: all that could come is here already.",
            ({ TakenIn: true, Conflicts.Count: > 0 }, _) => "What is new is taken in; what is in conflict stays as it was here.",
            ({ TakenIn: true }, _) => "All of it is taken in.",
            (_, true) => "Nothing is taken in. With --keep-here the rest is, and what is in conflict stays as it is here.",
            ({ Conflicts.Count: > 0 }, _) => "Nothing is changed. sweeprig archive read --keep-here would take in what is new and leave the rest as it is here.",
            ({ BringsNothing: true }, _) => "Nothing is changed, and reading it in would change nothing.",
            _ => "Nothing is changed; sweeprig archive read takes it in.",
        }]);
    }
}
