using System.Collections.Immutable;

namespace SweepRig.Sweeps.Running;

/// <summary>
/// Hands updates to viewers. Each viewer has its own bounded buffer: a slow one skips blocks, with the count kept, and never slows the
/// publisher or another viewer.
/// </summary>
public sealed class LiveFeed
{
    private ImmutableArray<LiveViewer> _viewers = [];

    public int Viewers => _viewers.Length;

    /// <param name="capacity">Blocks held for a viewer that is behind, 1 or more.</param>
    public LiveViewer Subscribe(int capacity = 256)
    {
        var viewer = new LiveViewer(this, capacity);
        ImmutableInterlocked.Update(ref _viewers, static (all, one) => all.Add(one), viewer);
        return viewer;
    }

    /// <summary>Never waits.</summary>
    public void Publish(LiveUpdate update)
    {
        foreach (var viewer in _viewers) viewer.Offer(update);
    }

    internal void Remove(LiveViewer viewer) =>
        ImmutableInterlocked.Update(ref _viewers, static (all, one) => all.Remove(one), viewer);
}
