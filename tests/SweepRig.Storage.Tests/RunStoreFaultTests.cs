using Microsoft.Data.Sqlite;
using Microsoft.Extensions.Logging.Abstractions;
using SweepRig.Domain.Runs;
using SweepRig.Storage.Schema;
using SweepRig.Storage.Tests.Support;

namespace SweepRig.Storage.Tests;

public sealed class RunStoreFaultTests : IDisposable
{
    private readonly TemporaryDirectory _directory = new();

    private static CancellationToken Cancel => TestContext.Current.CancellationToken;

    public void Dispose() => _directory.Dispose();

    private Task<RunStore> OpenAsync(int? maxPages = null, string? directory = null) =>
        RunStore.OpenAsync(new StorePlace(directory ?? _directory.Path), maxPages, TimeProvider.System, NullLogger<RunStore>.Instance, Cancel);

    private async Task<RunStoreException> RefusedAsync()
    {
        var fault = await Assert.ThrowsAsync<RunStoreException>(() => OpenAsync());
        Assert.Contains(RunStore.FileName, fault.Message, StringComparison.Ordinal);
        return fault;
    }

    [Theory]
    [InlineData(10)]
    [InlineData(5000)]
    public async Task A_file_that_is_no_database_is_named_and_left_alone(int length)
    {
        var notes = new string('x', length);
        await File.WriteAllTextAsync(_directory[RunStore.FileName], notes, Cancel);
        var fault = await RefusedAsync();
        Assert.Contains("not a run store", fault.Message, StringComparison.Ordinal);
        Assert.Equal(notes, await File.ReadAllTextAsync(_directory[RunStore.FileName], Cancel));
    }

    [Fact]
    public async Task A_database_of_another_program_is_named_and_left_alone()
    {
        Execute("CREATE TABLE recipes (name TEXT);");
        var fault = await RefusedAsync();
        Assert.Contains("another program", fault.Message, StringComparison.Ordinal);
        Assert.Equal(0L, Query("PRAGMA application_id;"));
    }

    [Fact]
    public async Task A_store_of_a_newer_version_is_refused_with_both_versions_and_left_alone()
    {
        await (await OpenAsync()).DisposeAsync();
        Execute($"PRAGMA user_version = {StoreSchema.Latest + 1};");
        var fault = await RefusedAsync();
        Assert.Contains($"version {StoreSchema.Latest + 1}", fault.Message, StringComparison.Ordinal);
        Assert.Contains($"up to {StoreSchema.Latest}", fault.Message, StringComparison.Ordinal);
        Assert.Equal(StoreSchema.Latest + 1L, Query("PRAGMA user_version;"));
    }

    [Fact]
    public async Task A_damaged_store_is_named()
    {
        var store = await OpenAsync();
        var recording = await store.BeginAsync(Examples.Header(), Cancel);
        for (var i = 0; i < 100; i++) await recording.AppendAsync([Examples.Block(i)], Cancel);
        await recording.DisposeAsync();
        await store.DisposeAsync();
        var bytes = await File.ReadAllBytesAsync(_directory[RunStore.FileName], Cancel);
        for (var i = 4096; i < bytes.Length; i++) bytes[i] = 0xA5;
        await File.WriteAllBytesAsync(_directory[RunStore.FileName], bytes, Cancel);
        var fault = await Assert.ThrowsAsync<RunStoreException>(async () =>
        {
            await using var damaged = await OpenAsync();
            await damaged.ListAsync(10, null, Cancel);
        });
        Assert.Contains("damaged", fault.Message, StringComparison.Ordinal);
        Assert.Contains(RunStore.FileName, fault.Message, StringComparison.Ordinal);
    }

    [Fact]
    public async Task A_changed_byte_in_a_block_is_named_with_its_run_and_the_other_runs_stay_readable()
    {
        var before = await OpenAsync();
        var sound = await before.BeginAsync(Examples.Header(), Cancel);
        await sound.AppendAsync([Examples.Block(0)], Cancel);
        await sound.DisposeAsync();
        var spoilt = await before.BeginAsync(Examples.Header(), Cancel);
        await spoilt.AppendAsync([Examples.Block(0)], Cancel);
        await spoilt.DisposeAsync();
        await before.DisposeAsync();
        Execute("UPDATE packs SET data = zeroblob(length(data)) WHERE run = 2;");
        await using var store = await OpenAsync();
        var fault = await Assert.ThrowsAsync<RunStoreException>(() => store.ReadBlocksAsync(spoilt.RunId, 0, Cancel).ToListAsync(Cancel).AsTask());
        Assert.Contains(spoilt.RunId, fault.Message, StringComparison.Ordinal);
        Assert.Single(await store.ReadBlocksAsync(sound.RunId, 0, Cancel).ToListAsync(Cancel));
    }

    [Fact]
    public async Task A_run_with_a_damaged_header_does_not_hide_the_others()
    {
        await using var store = await OpenAsync();
        await (await store.BeginAsync(Examples.Header(), Cancel)).DisposeAsync();
        var spoilt = await store.BeginAsync(Examples.Header(), Cancel);
        await spoilt.DisposeAsync();
        Execute("UPDATE runs SET header = '{' WHERE number = 2;");
        Assert.Single(await store.ListAsync(10, null, Cancel));
        var fault = await Assert.ThrowsAsync<RunStoreException>(() => store.FindAsync(spoilt.RunId, Cancel));
        Assert.Contains(spoilt.RunId, fault.Message, StringComparison.Ordinal);
    }

    [Fact]
    public async Task A_directory_that_cannot_be_made_is_named()
    {
        await File.WriteAllTextAsync(_directory["occupied"], "a file", Cancel);
        var fault = await Assert.ThrowsAsync<RunStoreException>(() => OpenAsync(directory: _directory["occupied"]));
        Assert.Contains("occupied", fault.Message, StringComparison.Ordinal);
        Assert.Contains("Choose", fault.Message, StringComparison.Ordinal);
    }

    [Fact]
    public async Task A_file_grown_to_its_limit_keeps_all_before_and_nothing_of_the_failed_call() =>
        await FillAsync(await OpenAsync(maxPages: 60), canFree: false);

    [Fact]
    public async Task A_full_disk_keeps_all_before_and_nothing_of_the_failed_call()
    {
        // Where this user may not mount, a limit on the file takes the place of the small disk.
        using var disk = SmallDisk.TryMount(_directory["disk"], "512k");
        var store = disk is null ? await OpenAsync(maxPages: 60) : await OpenAsync(directory: disk.Path);
        await FillAsync(store, canFree: disk is not null, disk);
    }

    [Fact]
    public async Task A_run_whose_end_cannot_be_written_reads_as_incomplete_at_once_and_is_marked_with_the_next_run()
    {
        var store = await OpenAsync();
        var recording = await store.BeginAsync(Examples.Header(), Cancel);
        await recording.AppendAsync([Examples.Block(0)], Cancel);
        Execute("CREATE TRIGGER no_room BEFORE UPDATE OF state ON runs BEGIN SELECT RAISE(FAIL, 'database or disk is full'); END;");

        await recording.DisposeAsync();

        var found = await store.FindAsync(recording.RunId, Cancel);
        Assert.Equal(RunState.Incomplete, found?.State);
        Assert.NotNull(found?.EndedUtc);
        Assert.Equal(RunState.Incomplete, Assert.Single(await store.ListAsync(10, null, Cancel)).State);
        Assert.Equal("running", Query("SELECT state FROM runs;"));
        Execute("DROP TRIGGER no_room;");
        await (await store.BeginAsync(Examples.Header(), Cancel)).DisposeAsync();
        Assert.Equal("incomplete", Query($"SELECT state FROM runs WHERE id = '{recording.RunId}';"));
        await store.DisposeAsync();
    }

    private static async Task FillAsync(RunStore store, bool canFree, SmallDisk? disk = null)
    {
        if (canFree) File.WriteAllBytes(Path.Combine(disk!.Path, "ballast"), new byte[65536]);
        var recording = await store.BeginAsync(Examples.Header(), Cancel);
        var kept = 0;
        var fault = await Assert.ThrowsAnyAsync<IOException>(async () =>
        {
            // Ends at the latest when the bytes written exceed the disk many times over.
            for (var i = 0; i < 10_000; i++)
            {
                await recording.AppendAsync([.. Enumerable.Range(kept, 20).Select(n => Examples.Block(n))], Cancel);
                kept += 20;
            }
        });
        Assert.Contains("full", fault.Message, StringComparison.Ordinal);
        Assert.Contains(RunStore.FileName, fault.Message, StringComparison.Ordinal);
        Assert.Contains("Free space", fault.Message, StringComparison.Ordinal);
        Assert.True(kept > 0);
        await AssertHoldsAsync(store, recording.RunId, kept);

        if (canFree)
        {
            File.Delete(Path.Combine(disk!.Path, "ballast"));
            Assert.Equal(kept, await recording.AppendAsync([Examples.Block(kept)], Cancel));
            kept++;
        }
        await recording.DisposeAsync();
        await AssertHoldsAsync(store, recording.RunId, kept);
        if (canFree) Assert.Equal(RunState.Incomplete, (await store.FindAsync(recording.RunId, Cancel))?.State);
        await store.DisposeAsync();
    }

    private static async Task AssertHoldsAsync(RunStore store, string id, int kept)
    {
        var blocks = await store.ReadBlocksAsync(id, 0, Cancel).ToListAsync(Cancel);
        Assert.Equal(kept, blocks.Count);
        for (var i = 0; i < kept; i++) Examples.AssertSame(Examples.Block(i), blocks[i].Block);
        Assert.Equal(kept * 7, (await store.FindAsync(id, Cancel))?.Samples);
    }

    private void Execute(string sql)
    {
        using var connection = new SqliteConnection($"Data Source={_directory[RunStore.FileName]};Pooling=False");
        connection.Open();
        using var command = connection.CreateCommand();
        command.CommandText = sql;
        command.ExecuteNonQuery();
    }

    private object? Query(string sql)
    {
        using var connection = new SqliteConnection($"Data Source={_directory[RunStore.FileName]};Pooling=False");
        connection.Open();
        using var command = connection.CreateCommand();
        command.CommandText = sql;
        return command.ExecuteScalar();
    }
}
