using System.Diagnostics;
using Npgsql;

namespace SweepRig.Storage.Tests.Support;

/// <summary>
/// A real PostgreSQL server of its own, in a temporary directory, on a Unix socket there and nowhere else. Started when first asked for a database; every
/// database is new and empty.
/// </summary>
public sealed class PostgresServer : IAsyncDisposable
{
    public const string User = "sweeprig", Password = "Petrel-7";

    private readonly SemaphoreSlim _starting = new(1);
    private readonly string _directory = Directory.CreateTempSubdirectory("sweeprig-pg-").FullName;
    private bool _made;
    private int _databases;

    private string Data => Path.Combine(_directory, "data");

    /// <summary>Connection to a new database.</summary>
    public async Task<string> NewDatabaseAsync()
    {
        await StartAsync();
        var name = $"bench_{Interlocked.Increment(ref _databases)}";
        // Not one of the pool: the server may have been started again since that was opened.
        await using var connection = new NpgsqlConnection(ConnectionTo("postgres") + ";Pooling=false");
        await connection.OpenAsync();
        await using var make = new NpgsqlCommand($"CREATE DATABASE {name};", connection);
        await make.ExecuteNonQueryAsync();
        return ConnectionTo(name);
    }

    /// <summary>Connection to a database, whether or not it is there.</summary>
    public string ConnectionTo(string database) => new NpgsqlConnectionStringBuilder
    {
        Host = _directory,
        Database = database,
        Username = User,
        Password = Password,
        Timeout = 5,
        PersistSecurityInfo = true,
    }.ToString();

    /// <summary>Starts the server, making it if need be.</summary>
    public async Task StartAsync()
    {
        await _starting.WaitAsync();
        try
        {
            if (!_made) await MakeAsync();
            if (File.Exists(Path.Combine(Data, "postmaster.pid"))) return;
            await RunAsync("pg_ctl", "start", "-w", "-s", "-D", Data, "-l", Path.Combine(_directory, "log"));
        }
        finally
        {
            _starting.Release();
        }
    }

    /// <summary>Ends the server at once, as when its computer is switched off: connections break, what was committed stays.</summary>
    public Task StopAsync() => RunAsync("pg_ctl", "stop", "-w", "-s", "-m", "immediate", "-D", Data);

    public async ValueTask DisposeAsync()
    {
        NpgsqlConnection.ClearAllPools();
        if (_made && File.Exists(Path.Combine(Data, "postmaster.pid"))) await StopAsync();
        Directory.Delete(_directory, recursive: true);
        _starting.Dispose();
    }

    private async Task MakeAsync()
    {
        var password = Path.Combine(_directory, "password");
        await File.WriteAllTextAsync(password, Password);
        // The server refuses to run as root: everything of it belongs to the user that it will run as.
        if (AsUser is { } user) await RunPlainAsync("chown", "-R", user, _directory);
        await RunAsync("initdb", "--no-sync", "-D", Data, "-U", User, "-A", "scram-sha-256", $"--pwfile={password}", "-E", "UTF8", "--locale=C");
        await File.AppendAllTextAsync(
            Path.Combine(Data, "postgresql.conf"), $"listen_addresses = ''\nunix_socket_directories = '{_directory}'\nfsync = off\nmax_connections = 200\nshared_buffers = 64MB\n");
        _made = true;
    }

    private static string? AsUser { get; } = Environment.UserName == "root" ? File.ReadLines("/etc/passwd").Any(l => l.StartsWith("postgres:", StringComparison.Ordinal)) ? "postgres" : "nobody" : null;

    private static Task RunAsync(string program, params string[] arguments) =>
        AsUser is { } user ? RunPlainAsync("setpriv", ["--reuid", user, "--regid", user == "nobody" ? "nogroup" : user, "--clear-groups", Program(program), .. arguments]) : RunPlainAsync(Program(program), arguments);

    private static string Program(string name)
    {
        // Debian keeps the server's programs out of the path, one directory a version.
        var places = Directory.Exists("/usr/lib/postgresql") ? Directory.EnumerateDirectories("/usr/lib/postgresql").OrderDescending(StringComparer.Ordinal).Select(d => Path.Combine(d, "bin", name)) : [];
        return places.FirstOrDefault(File.Exists) ?? name;
    }

    private static async Task RunPlainAsync(string program, params string[] arguments)
    {
        // Nothing is read from a pipe: the server would hold it open.
        using var process = Process.Start(new ProcessStartInfo("/bin/sh", ["-c", "exec \"$@\" >/dev/null 2>\"$0\" </dev/null", Path.Combine(Path.GetTempPath(), $"sweeprig-pg-{Environment.ProcessId}.err"), program, .. arguments])
        {
            WorkingDirectory = "/",
        }) ?? throw new InvalidOperationException($"{program} did not start.");
        await process.WaitForExitAsync();
        if (process.ExitCode != 0)
        {
            throw new InvalidOperationException(
                $"{program} {string.Join(' ', arguments)} ended with {process.ExitCode}: {await File.ReadAllTextAsync(Path.Combine(Path.GetTempPath(), $"sweeprig-pg-{Environment.ProcessId}.err"))}");
        }
    }
}
