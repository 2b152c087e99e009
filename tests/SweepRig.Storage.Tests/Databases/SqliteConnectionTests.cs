using System.Globalization;
using SweepRig.Storage.Databases;
using SweepRig.Storage.Tests.Support;

namespace SweepRig.Storage.Tests.Databases;

public sealed class SqliteConnectionTests
{
    // Of synchronous 2 is FULL, of temp_store 2 is MEMORY: https://www.sqlite.org/pragma.html
    [Theory]
    [InlineData("synchronous", 2)]
    [InlineData("foreign_keys", 1)]
    [InlineData("temp_store", 2)]
    [InlineData("busy_timeout", 5000)]
    public async Task Every_connection_is_set_whether_it_is_new_or_out_of_the_pool(string setting, long expected)
    {
        using var directory = new TemporaryDirectory();
        await using var database = new SqliteDatabase(Path.Combine(directory.Path, "runs.db"), null);
        // Two beside each other, then twice again out of the pool.
        await Task.WhenAll(AskAsync(), AskAsync());
        await AskAsync();
        await AskAsync();

        async Task AskAsync()
        {
            await using var context = database.Context();
            await database.OpenAsync(context, TestContext.Current.CancellationToken);
            await using var command = StoreDatabase.Command(context, $"PRAGMA {setting};");
            Assert.Equal(expected, Convert.ToInt64(await command.ExecuteScalarAsync(TestContext.Current.CancellationToken), CultureInfo.InvariantCulture));
        }
    }
}
