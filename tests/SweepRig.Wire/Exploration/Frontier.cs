namespace SweepRig.Wire.Exploration;

/// <summary>A world to go on from, and what was used on the way to it.</summary>
internal readonly record struct Reached(int World, short Depth, byte Faults, byte Incidents)
{
    public Reached After(Happening happening) =>
        new(World, (short)(Depth + 1), (byte)(Faults + (happening.IsFault ? 1 : 0)), (byte)(Incidents + (happening.IsIncident ? 1 : 0)));
}

/// <summary>
/// What is still to be explored. A world that has been reached with no more faults and no more incidents need not be explored with more of them: whatever may follow
/// then may follow already. With a bound on the depth the nearest comes first, so that it has also been reached as early; without, what used least.
/// </summary>
internal sealed class Frontier
{
    private const int MostOfEach = 3;

    private static readonly ushort[] Covering = [.. Enumerable.Range(0, 16).Select(CoveringOf)];

    private readonly Queue<Reached>[] _queues;
    private readonly int _depth;
    private readonly bool _nearestFirst;

    public Frontier(Bounds bounds)
    {
        if (bounds.Faults > MostOfEach || bounds.Incidents > MostOfEach) throw new ArgumentException($"At most {MostOfEach} faults and incidents can be told apart.", nameof(bounds));
        _depth = Math.Min(bounds.Depth, short.MaxValue - 1);
        _nearestFirst = bounds.Depth < Bounds.Unbounded;
        _queues = [.. Enumerable.Range(0, _nearestFirst ? 1 : bounds.Faults + bounds.Incidents + 1).Select(_ => new Queue<Reached>())];
    }

    public bool IsEmpty => Array.TrueForAll(_queues, q => q.Count == 0);

    /// <summary>True once something was left out because it lies too deep.</summary>
    public bool WasCut { get; private set; }

    public bool Next(out Reached reached)
    {
        foreach (var queue in _queues)
            if (queue.TryDequeue(out reached)) return true;
        reached = default;
        return false;
    }

    /// <param name="used">Marks of what it has been reached with.</param>
    public void Add(ref ushort used, Reached reached)
    {
        var budget = reached.Faults * (MostOfEach + 1) + reached.Incidents;
        if ((used & Covering[budget]) != 0) return;
        if (reached.Depth > _depth)
        {
            WasCut = true;
            return;
        }
        used |= (ushort)(1 << budget);
        _queues[_nearestFirst ? 0 : reached.Faults + reached.Incidents].Enqueue(reached);
    }

    private static ushort CoveringOf(int budget)
    {
        var covering = 0;
        for (var faults = 0; faults <= budget / (MostOfEach + 1); faults++)
            for (var incidents = 0; incidents <= budget % (MostOfEach + 1); incidents++) covering |= 1 << (faults * (MostOfEach + 1) + incidents);
        return (ushort)covering;
    }
}
