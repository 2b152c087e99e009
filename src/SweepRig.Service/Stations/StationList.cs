using System.Collections;
using SweepRig.Domain;

namespace SweepRig.Service.Stations;

/// <summary>The stations of this service in their order, at least one.</summary>
public sealed class StationList(IReadOnlyList<Station> stations) : IReadOnlyList<Station>, IAsyncDisposable
{
    /// <summary>Meant wherever no rig is named.</summary>
    public Station Default => stations[0];

    public int Count => stations.Count;

    public Station this[int index] => stations[index];

    /// <param name="name">Null for the default.</param>
    /// <returns>The station, or a refusal that tells the names there are.</returns>
    public Outcome<Station> Find(string? name)
    {
        if (name is null) return Outcome<Station>.Accept(Default);
        return stations.FirstOrDefault(s => s.Name == name) is { } found
            ? Outcome<Station>.Accept(found)
            : Outcome<Station>.Refuse(new Refusal(
                "rig-unknown", "/rig", $"rig {(name.Length <= 40 ? name : name[..40] + "...")}", $"this service has {string.Join(", ", stations.Select(s => s.Name))}", "Name one of these, or none for the first."));
    }

    public IEnumerator<Station> GetEnumerator() => stations.GetEnumerator();

    IEnumerator IEnumerable.GetEnumerator() => GetEnumerator();

    /// <summary>All together: a rig that does not answer keeps no other from being made safe.</summary>
    public Task MakeSafeAndEndAsync() => Task.WhenAll(stations.Select(s => s.MakeSafeAndEndAsync()));

    public async ValueTask DisposeAsync() => await Task.WhenAll(stations.Select(s => s.DisposeAsync().AsTask()));
}
