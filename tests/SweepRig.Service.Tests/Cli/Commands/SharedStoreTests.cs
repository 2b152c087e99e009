using SweepRig.Domain.Plans;
using SweepRig.Service.Tests.Cli.Support;
using SweepRig.Service.Tests.Support;
using SweepRig.Storage;
using SweepRig.Storage.Tests.Support;

namespace SweepRig.Service.Tests.Cli.Commands;

/// <summary>Commands of two benches on one PostgreSQL database.</summary>
[System.Runtime.Versioning.UnsupportedOSPlatform("windows")]
public sealed class SharedStoreTests(PostgresServer server) : IAsyncLifetime
{
    private readonly TemporaryData _here = new(), _there = new();
    private string _connection = "";

    public async ValueTask InitializeAsync()
    {
        _connection = _here.File("connection");
        await File.WriteAllTextAsync(_connection, await server.NewDatabaseAsync() + "\n", TestContext.Current.CancellationToken);
        File.SetUnixFileMode(_connection, UnixFileMode.UserRead | UnixFileMode.UserWrite);
    }

    public ValueTask DisposeAsync()
    {
        _here.Dispose();
        _there.Dispose();
        return ValueTask.CompletedTask;
    }

    [Fact]
    public async Task What_one_bench_books_in_the_other_finds_and_the_same_tube_is_used_once()
    {
        Assert.Equal("Booked in: 3 tubes, SKUA-001 to SKUA-003.\n", (await RunAsync(_here, "stock", "book", "Skua", "--type", "EF91", "--count", "3")).Output);
        Assert.Contains("SKUA-003", (await RunAsync(_there, "stock", "list")).Output, StringComparison.Ordinal);
        Assert.Equal(0, (await RunAsync(_there, "stock", "use", "SKUA-002", "tide clock, bit 2")).ExitCode);
        var second = await RunAsync(_here, "stock", "use", "SKUA-002", "adder, carry");
        Assert.Equal(2, second.ExitCode);
        Assert.Contains("tide clock, bit 2", second.Error, StringComparison.Ordinal);
        Assert.False(File.Exists(_here.File(RunStore.FileName)), "A shared store needs no file.");
    }

    [Fact]
    public async Task An_empty_store_is_told_with_its_name_and_without_the_password()
    {
        var run = await RunAsync(_here, "runs", "list");
        Assert.Contains("No runs in PostgreSQL database", run.Output + run.Error, StringComparison.Ordinal);
        Assert.DoesNotContain(PostgresServer.Password, run.Output + run.Error, StringComparison.Ordinal);
    }

    [Fact]
    public async Task A_connection_that_others_can_read_is_used_and_warned_of()
    {
        File.SetUnixFileMode(_connection, UnixFileMode.UserRead | UnixFileMode.UserWrite | UnixFileMode.GroupRead);
        var run = await RunAsync(_here, "stock", "list");
        Assert.Equal(0, run.ExitCode);
        Assert.Contains($"chmod 600 {_connection}", run.Error, StringComparison.Ordinal);
    }

    [Fact]
    public async Task A_store_is_moved_there_and_back_and_nothing_is_lost()
    {
        Assert.Equal(0, (await CliRun.OfAsync(_here.Path, ["stock", "book", "Skua", "--type", "EF91", "--count", "3"])).ExitCode);
        await ModelledRun.StoreAsync(_here.Path, new ModelledRun(PlanExamples.GentlePentode));
        var before = await CliRun.OfAsync(_here.Path, ["store", "show"]);
        Assert.Contains("1 lots, 3 tubes", before.Output, StringComparison.Ordinal);

        var there = await CliRun.OfAsync(_here.Path, ["store", "move", "--to", "postgres", "--connection", _connection]);
        Assert.Equal("", there.Error);
        Assert.Contains("every table was read back and is equal", there.Output, StringComparison.Ordinal);
        Assert.False(File.Exists(_here.File(RunStore.FileName)));
        Assert.Single(Directory.EnumerateFiles(_here.Path, "runs.moved-*.db"));
        Assert.Contains("SKUA-003", (await RunAsync(_there, "stock", "list")).Output, StringComparison.Ordinal);

        var again = await CliRun.OfAsync(_here.Path, ["store", "move", "--to", "postgres", "--connection", _connection]);
        Assert.Equal(2, again.ExitCode);
        Assert.Contains("there is no such file", again.Error, StringComparison.Ordinal);

        Assert.Equal(0, (await CliRun.OfAsync(_there.Path, ["store", "move", "--to", "sqlite", "--connection", _connection])).ExitCode);
        Assert.Contains("SKUA-003", (await CliRun.OfAsync(_there.Path, ["stock", "list"])).Output, StringComparison.Ordinal);
        Assert.Equal((await RunAsync(_here, "runs", "list", "--json")).Output, (await CliRun.OfAsync(_there.Path, ["runs", "list", "--json"])).Output);
        Assert.Equal(2, (await CliRun.OfAsync(_there.Path, ["store", "move", "--to", "sqlite", "--connection", _connection])).ExitCode);
    }

    private Task<CliRun> RunAsync(TemporaryData data, params string[] arguments) => CliRun.OfAsync(data.Path, [.. arguments, "--store", "postgres", "--connection", _connection]);
}
