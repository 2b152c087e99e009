using System.Collections.Concurrent;
using SweepRig.Domain.Runs;
using SweepRig.Storage;

namespace SweepRig.Service.Live;

/// <summary>Headers of the runs that are being viewed, for viewers who joined after the start. Kept for the few newest.</summary>
public sealed class RunHeaders(RunStore runs)
{
    private const int Kept = 8;

    private readonly ConcurrentDictionary<string, RunHeader> _known = new(StringComparer.Ordinal);

    public void Keep(RunHeader header)
    {
        _known[header.Id] = header;
        // Ids sort by time.
        while (_known.Count > Kept) _known.TryRemove(_known.Keys.Min(StringComparer.Ordinal)!, out _);
    }

    /// <returns>The header, or null for a run that is not on record.</returns>
    public async ValueTask<RunHeader?> FindAsync(string runId, CancellationToken cancellationToken)
    {
        if (_known.TryGetValue(runId, out var known)) return known;
        if (await runs.FindAsync(runId, cancellationToken) is not { } record) return null;
        Keep(record.Header);
        return record.Header;
    }
}
