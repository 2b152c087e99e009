using SweepRig.Domain.Runs;
using SweepRig.Service.Hosting;

namespace SweepRig.Service.Tests.Support;

public sealed class FakeLibrary : IRunLibrary
{
    public List<RunRecord> Runs { get; } = [];

    public List<StoredBlock> Blocks { get; } = [];

    public Task<IReadOnlyList<RunRecord>> ListAsync(int limit, string? olderThan, CancellationToken cancellationToken) =>
        Task.FromResult<IReadOnlyList<RunRecord>>([.. Runs.OrderByDescending(r => r.Header.Id, StringComparer.Ordinal).Take(limit)]);

    public Task<RunRecord?> FindAsync(string id, CancellationToken cancellationToken) => Task.FromResult(Runs.Find(r => r.Header.Id == id));

    public IAsyncEnumerable<StoredBlock> ReadBlocksAsync(string id, long fromSequence, CancellationToken cancellationToken) =>
        Blocks.Where(b => b.Sequence >= fromSequence).ToAsyncEnumerable();
}
