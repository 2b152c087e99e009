using System.CommandLine;
using SweepRig.Domain;
using SweepRig.Storage;

namespace SweepRig.Service.Cli.Parsing;

/// <summary>Which store a command works on. Every command that opens one has these options, by having <see cref="SharedOptions.Data"/>.</summary>
public static class StoreArguments
{
    public const string KindVariable = "SWEEPRIG_STORE";
    public const string ConnectionVariable = "SWEEPRIG_POSTGRES";

    public const string Sqlite = "sqlite", Postgres = "postgres";

    private const string KindName = "--store", ConnectionName = "--connection";

    /// <summary>Longest connection that is read; a file with more holds something else.</summary>
    private const int LongestConnection = 4096;

    public static void AddTo(Command command)
    {
        foreach (var below in command.Subcommands) AddTo(below);
        if (!command.Options.OfType<SharedOptions.DataOfStore>().Any()) return;
        command.Add(new Option<string?>(KindName)
        {
            Description = $"{Sqlite} for the file in the data directory, {Postgres} for a database that several benches share (default: ${KindVariable}, else {Sqlite})",
            HelpName = "STORE",
        });
        command.Add(Connection());
    }

    public static Option<string?> Connection() => new(ConnectionName)
    {
        Description = $"File that holds the connection to PostgreSQL; let nobody else read it (default: what ${ConnectionVariable} says)",
        HelpName = "FILE",
    };

    /// <returns>The context with the store that was asked for, or why there is none.</returns>
    public static async Task<Outcome<CliContext>> ReadAsync(ParseResult parsed, CliContext context, CancellationToken cancellationToken)
    {
        var options = parsed.CommandResult.Command.Options;
        if (options.FirstOrDefault(o => o.Name == KindName) is not Option<string?> kind || options.FirstOrDefault(o => o.Name == ConnectionName) is not Option<string?> connection)
            return Outcome<CliContext>.Accept(context);
        var (asked, from) = parsed.GetValue(kind) is { } given ? (given, KindName) : (context.Variable(KindVariable) is { Length: > 0 } set ? set : Sqlite, $"${KindVariable}");
        var file = parsed.GetValue(connection);
        return asked switch
        {
            Sqlite when file is not null => Refuse("connection-without-postgres", $"{ConnectionName} {file}", $"the store is {Sqlite}, a file in the data directory", $"Add {KindName} {Postgres}, or leave it out."),
            Sqlite => Outcome<CliContext>.Accept(context),
            Postgres => await ConnectionAsync(file, context, cancellationToken),
            _ => Refuse("store-unknown", $"{from} {asked}", $"allowed is {Sqlite} or {Postgres}", "Leave it out for the file in the data directory."),
        };
    }

    /// <param name="file">That holds the connection; null for what the variable says.</param>
    /// <returns>The context with the shared store, or why the connection to it cannot be read.</returns>
    public static async Task<Outcome<CliContext>> ConnectionAsync(string? file, CliContext context, CancellationToken cancellationToken)
    {
        var text = context.Variable(ConnectionVariable);
        if (file is not null)
        {
            try
            {
                if (new FileInfo(file).Length > LongestConnection)
                    return Refuse("connection-not-readable", $"{ConnectionName} {file}", $"it is longer than {LongestConnection} bytes", "Give a file of one line, like Host=bench-pc;Database=sweeprig;Username=sweeprig.");
                text = await File.ReadAllTextAsync(file, cancellationToken);
                if (!OperatingSystem.IsWindows() && (File.GetUnixFileMode(file) & (UnixFileMode.GroupRead | UnixFileMode.OtherRead)) != 0)
                    context.Terminal.Complain($"{file} can be read by others on this computer. Make it yours alone: chmod 600 {file}.");
            }
            catch (Exception fault) when (fault is IOException or UnauthorizedAccessException)
            {
                return Refuse("connection-not-readable", $"{ConnectionName} {file}", fault is FileNotFoundException or DirectoryNotFoundException ? "there is no such file" : fault.Message.TrimEnd('.'), "Give a file of one line, like Host=bench-pc;Database=sweeprig;Username=sweeprig.");
            }
        }
        if (string.IsNullOrWhiteSpace(text))
            return Refuse("connection-missing", $"{KindName} {Postgres}", "nothing says where the database is", $"Set {ConnectionVariable} to something like Host=bench-pc;Database=sweeprig;Username=sweeprig, or name a file that says so with {ConnectionName}.");
        var with = context with { Postgres = text.Trim() };
        try
        {
            _ = with.StoreName(null);
            return Outcome<CliContext>.Accept(with);
        }
        catch (RunStoreException)
        {
            // The text is not repeated: it may hold a password.
            return Refuse("connection-not-readable", file ?? $"${ConnectionVariable}", "it names no host and database, or is not readable", "Write it like Host=bench-pc;Database=sweeprig;Username=sweeprig or like postgresql://sweeprig@bench-pc/sweeprig.");
        }
    }

    private static Outcome<CliContext> Refuse(string code, string asked, string allowed, string remedy) => Outcome<CliContext>.Refuse(new Refusal(code, "", asked, allowed, remedy));
}
