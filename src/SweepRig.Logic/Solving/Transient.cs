namespace SweepRig.Logic.Solving;

/// <summary>Voltages of a circuit as time goes on.</summary>
/// <param name="Circuit">Whose.</param>
/// <param name="Seconds">Moments reckoned, rising, from the start to the end.</param>
/// <param name="Volts">Of each node one array, a voltage a moment, in the order of <see cref="Circuit.Nodes"/>.</param>
public sealed record Transient(Circuit Circuit, double[] Seconds, double[][] Volts)
{
    /// <summary>Voltages of a node.</summary>
    /// <exception cref="ArgumentException">The network has no such node.</exception>
    public double[] Of(string node) => Volts[Circuit.NodeOf(node)];

    /// <summary>Where all nodes are at the end.</summary>
    public double[] Last => [.. Volts.Select(v => v[^1])];

    /// <summary>The voltage of a node at a moment, straight between those reckoned.</summary>
    public double At(string node, double seconds)
    {
        var volts = Of(node);
        var at = Array.BinarySearch(Seconds, seconds);
        if (at >= 0) return volts[at];
        at = ~at;
        if (at == 0) return volts[0];
        if (at == volts.Length) return volts[^1];
        return volts[at - 1] + (volts[at] - volts[at - 1]) * (seconds - Seconds[at - 1]) / (Seconds[at] - Seconds[at - 1]);
    }

    /// <summary>Moments at which a node passes a voltage.</summary>
    /// <param name="rising">True for upwards, false for downwards, null for both.</param>
    /// <param name="from">Moments before are left out. Unit: s.</param>
    public IEnumerable<double> Crossings(string node, double level, bool? rising = null, double from = 0)
    {
        var volts = Of(node);
        for (var n = 1; n < volts.Length; n++)
        {
            if (Seconds[n] < from || volts[n - 1] < level == volts[n] < level) continue;
            if (rising is { } up && up != volts[n] > volts[n - 1]) continue;
            var at = Seconds[n - 1] + (level - volts[n - 1]) / (volts[n] - volts[n - 1]) * (Seconds[n] - Seconds[n - 1]);
            if (at >= from) yield return at;
        }
    }
}

/// <summary>How exact a transient is to be.</summary>
public sealed record TransientOptions
{
    /// <summary>Largest error made in one step, as a share of the largest voltage.</summary>
    public double RelativeTolerance { get; init; } = 1e-4;

    /// <summary>The same for small voltages. Unit: V.</summary>
    public double AbsoluteVolts { get; init; } = 1e-4;

    /// <summary>Longest step; null for a fiftieth of the whole. Unit: s.</summary>
    public double? LongestSeconds { get; init; }

    /// <summary>Given up after these steps.</summary>
    public int MostSteps { get; init; } = 2_000_000;
}
