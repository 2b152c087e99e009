using System.Collections.Concurrent;
using SweepRig.Service.Contract;

namespace SweepRig.Service.Logic;

/// <summary>How far long answers have come, by a name that the asker chose. Kept only while the answer is under way. Safe from any thread.</summary>
public sealed class LogicProgress
{
    private const int LongestName = 64, Most = 1_000;

    private readonly ConcurrentDictionary<string, LogicWorkView> _underWay = new(StringComparer.Ordinal);

    /// <returns>Null when nothing of that name is under way.</returns>
    public LogicWorkView? Of(string name) => _underWay.GetValueOrDefault(name);

    /// <summary>Does work that can be asked about meanwhile.</summary>
    /// <param name="name">Null for work that nobody asks about.</param>
    public async Task<T> FollowAsync<T>(string? name, Func<Action<LogicWorkView>?, Task<T>> work)
    {
        ArgumentNullException.ThrowIfNull(work);
        if (name is null || name.Length > LongestName || _underWay.Count >= Most) return await work(null);
        try
        {
            return await work(now => _underWay[name] = now);
        }
        finally
        {
            _underWay.TryRemove(name, out _);
        }
    }
}
