using Microsoft.Extensions.Logging.Abstractions;

namespace SweepRig.Storage.Tests.Support;

/// <summary>Tests that hold on every database: one class on SQLite and one on PostgreSQL derives from each, and adds nothing.</summary>
/// <param name="server">Null for SQLite.</param>
public abstract class StoreTests(PostgresServer? server) : IAsyncLifetime
{
    private readonly TemporaryDirectory _directory = new();

    protected static CancellationToken Cancel => TestContext.Current.CancellationToken;

    /// <summary>A new and empty store.</summary>
    protected StorePlace Place { get; private set; } = null!;

    protected PostgresServer? Server => server;

    public virtual async ValueTask InitializeAsync() => Place = new(_directory.Path, server is null ? null : await server.NewDatabaseAsync());

    public virtual ValueTask DisposeAsync()
    {
        _directory.Dispose();
        GC.SuppressFinalize(this);
        return ValueTask.CompletedTask;
    }

    /// <summary>A place of its own in the directory of the test.</summary>
    protected string In(string name) => _directory[name];

    protected Task<RunStore> OpenAsync(StorePlace? place = null, TimeProvider? clock = null) =>
        RunStore.OpenAsync(place ?? Place, clock ?? TimeProvider.System, NullLogger<RunStore>.Instance, Cancel);
}
