using System.Collections.Concurrent;
using Microsoft.AspNetCore.SignalR.Client;
using Microsoft.Extensions.DependencyInjection;
using SweepRig.Service.Contract;

namespace SweepRig.EndToEnd.Tests.Harness.Kills;

/// <summary>What the service said to be on record: runs, as REST answered, and samples, as the hub showed them.</summary>
public sealed class Acknowledged
{
    private readonly ConcurrentDictionary<string, ConcurrentDictionary<(int Pass, int Point), (double Drive, double Plate, double Supply)>> _runs = new(StringComparer.Ordinal);
    private readonly ConcurrentDictionary<string, string> _ends = new(StringComparer.Ordinal);

    public int Runs => _runs.Count;

    public long Samples => _runs.Values.Sum(r => (long)r.Count);

    public int Complete => _ends.Values.Count(s => s == "complete");

    public IReadOnlyList<string> Ids => [.. _runs.Keys];

    public void Run(string id) => _runs.TryAdd(id, new());

    /// <summary>Notes all that a hub sends, until the connection is disposed; one whose service dies keeps what it was sent.</summary>
    public async Task<HubConnection> WatchAsync(string url, Action<RunEndedView> ended)
    {
        var hub = new HubConnectionBuilder().WithUrl(url + "/hub/bench").AddMessagePackProtocol().Build();
        hub.On<LiveBlockView>(nameof(IBenchViewer.BlockArrived), Note);
        hub.On<RunEndedView>(nameof(IBenchViewer.RunEnded), end =>
        {
            _ends[end.RunId] = end.State;
            ended(end);
        });
        await hub.StartAsync();
        return hub;
    }

    /// <returns>What is wrong with a run as it is on record now, one line each.</returns>
    public IEnumerable<string> Compare(string id, RunView? run, IReadOnlyList<LiveBlockView> blocks)
    {
        if (run is null)
        {
            yield return $"{id} is gone";
            yield break;
        }
        if (run.State == "running") yield return $"{id} counts as running, though its process was killed";
        if (_ends.TryGetValue(id, out var end) && end != run.State) yield return $"{id} ended {end} and is {run.State}";
        var stored = new Dictionary<(int, int), (double, double, double)>();
        foreach (var block in blocks)
            for (var i = 0; i < block.PointIndex.Length; i++) stored[(block.Pass, block.PointIndex[i])] = (block.Drive[i], block.Plate[i], block.Supply[i]);
        if (stored.Count != run.Samples) yield return $"{id} counts {run.Samples} samples and holds {stored.Count}";
        var shown = _runs[id];
        var gone = shown.Count(s => !stored.ContainsKey(s.Key));
        if (gone > 0) yield return $"{id}: {gone} of {shown.Count} samples that were shown are gone";
        var changed = shown.Count(s => stored.TryGetValue(s.Key, out var now) && now != s.Value);
        if (changed > 0) yield return $"{id}: {changed} of {shown.Count} samples that were shown are others now";
    }

    private void Note(LiveBlockView block)
    {
        var run = _runs.GetOrAdd(block.RunId, _ => new());
        for (var i = 0; i < block.PointIndex.Length; i++) run[(block.Pass, block.PointIndex[i])] = (block.Drive[i], block.Plate[i], block.Supply[i]);
    }
}
