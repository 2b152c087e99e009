using System.CommandLine;
using System.Globalization;
using Microsoft.Extensions.Logging.Abstractions;
using SweepRig.Domain;
using SweepRig.Service.Cli.Parsing;
using SweepRig.Service.Cli.Rendering;
using SweepRig.Storage;
using SweepRig.Storage.Moving;

namespace SweepRig.Service.Cli.Commands.Store;

/// <summary>Moves all that a store holds from the file to the shared database, or back.</summary>
public static class StoreMoveCommand
{
    public static Command Build(CliContext context)
    {
        var command = new ExampledCommand(
            "move", "Moves everything into an empty store: runs, calibrations, lots, tubes and their history. Reads all of it back and compares; until then nothing counts.",
            new Example("sweeprig store move --to postgres", $"Into the database that ${StoreArguments.ConnectionVariable} names. The file is set aside under another name."),
            new Example("sweeprig store move --to sqlite --data /srv/tubes", "Back into a file in that directory. The database stays as it is."));
        var to = new Option<string>("--to") { Description = $"{StoreArguments.Postgres} or {StoreArguments.Sqlite}", HelpName = "STORE", Required = true };
        to.Validators.Add(result =>
        {
            if (result.Tokens.Count > 0 && result.Tokens[^1].Value is not (StoreArguments.Postgres or StoreArguments.Sqlite))
                result.AddError($"--to {result.Tokens[^1].Value}: allowed is {StoreArguments.Postgres} or {StoreArguments.Sqlite}. Name the store that everything is to go into.");
        });
        var (connection, json, data) = (StoreArguments.Connection(), SharedOptions.Json(), SharedOptions.DataOnly());
        foreach (var option in new Option[] { to, connection, data, json }) command.Add(option);
        command.SetAction(async (parsed, cancellation) =>
        {
            var shared = await StoreArguments.ConnectionAsync(parsed.GetValue(connection), context, cancellation);
            if (!shared.IsAccepted) return context.Tell(shared.Refusals, parsed.GetValue(json), ExitCode.BadInput);
            var directory = DataPlace.Of(parsed.GetValue(data), context.Variable);
            return await MoveAsync(
                context, new(directory), shared.Value.Store(directory), toShared: parsed.GetValue(to) == StoreArguments.Postgres, parsed.GetValue(json), cancellation);
        });
        return command;
    }

    private static async Task<int> MoveAsync(CliContext context, StorePlace file, StorePlace shared, bool toShared, bool json, CancellationToken cancellation)
    {
        if (toShared && !File.Exists(file.Name))
            return context.Tell([new Refusal("no-store", "", $"{file.Name} is to be moved", "there is no such file", "Name the data directory with --data.")], json, ExitCode.BadInput);
        // No bench may record meanwhile, and what it left open is closed first.
        var taken = DataDirectoryLock.TryTake(file.DataDirectory);
        if (!taken.IsAccepted) return context.Tell(taken.Refusals, json, ExitCode.Failed);
        using var alone = taken.Value;
        Outcome<IReadOnlyList<MovedTable>> moved;
        await using (var from = await OpenAsync(context, toShared ? file : shared, cancellation))
        await using (var to = await OpenAsync(context, toShared ? shared : file, cancellation))
        {
            await from.DeliverWaitingAsync(cancellation);
            await from.MarkInterruptedAsync(cancellation);
            moved = await StoreMove.RunAsync(from, to, null, cancellation);
        }
        if (!moved.IsAccepted) return context.Tell(moved.Refusals, json, ExitCode.BadInput);
        var aside = toShared ? SetAside(file.Name, context.Time) : null;
        var (source, target) = toShared ? (file, shared) : (shared, file);
        if (json) CliJson.Write(context.Terminal, new Moved(source.Name, target.Name, moved.Value, aside));
        else Write(context, source, target, moved.Value, aside);
        return ExitCode.Good;
    }

    private static Task<RunStore> OpenAsync(CliContext context, StorePlace place, CancellationToken cancellation) =>
        RunStore.OpenAsync(place, context.Time, NullLogger<RunStore>.Instance, cancellation);

    /// <summary>So that no command goes on in the old file, and the store can be moved back.</summary>
    private static string SetAside(string file, TimeProvider time)
    {
        var aside = Path.Combine(Path.GetDirectoryName(file)!, $"runs.moved-{time.GetUtcNow().ToString("yyyyMMdd-HHmmss", CultureInfo.InvariantCulture)}.db");
        // Beside a reader the file has two companions, without which its newest part is missing.
        foreach (var part in new[] { "", "-wal", "-shm" })
            if (File.Exists(file + part)) File.Move(file + part, aside + part);
        return aside;
    }

    private static void Write(CliContext context, StorePlace source, StorePlace target, IReadOnlyList<MovedTable> tables, string? aside)
    {
        var terminal = context.Terminal;
        var text = new TextTable(("table", false), ("rows", true), ("SHA-256", false));
        foreach (var table in tables) text.Row(table.Name, StoreCommand.Count(table.Rows), $"{table.Hash[..16]}...");
        foreach (var line in text.Lines(terminal.OutInk)) terminal.Line(line);
        terminal.Line($"Moved from {source} to {target}; every table was read back and is equal.");
        terminal.Line(
            aside is null ? $"The database is as it was. From now on leave --store out, or unset {StoreArguments.KindVariable}."
            : $"The file is kept as {aside}. From now on give --store {StoreArguments.Postgres}, or set {StoreArguments.KindVariable}={StoreArguments.Postgres}.");
    }

    private sealed record Moved(string From, string To, IReadOnlyList<MovedTable> Tables, string? SetAside);
}
