using SweepRig.Domain.Runs;

namespace SweepRig.Service.Hosting;

/// <summary>Reading what is recorded. The run store in life.</summary>
public interface IRunLibrary
{
    /// <summary>Newest first.</summary>
    /// <param name="olderThan">Id of a run; only older ones are listed.</param>
    Task<IReadOnlyList<RunRecord>> ListAsync(int limit, string? olderThan, CancellationToken cancellationToken);

    Task<RunRecord?> FindAsync(string id, CancellationToken cancellationToken);

    IAsyncEnumerable<StoredBlock> ReadBlocksAsync(string id, long fromSequence, CancellationToken cancellationToken);
}
