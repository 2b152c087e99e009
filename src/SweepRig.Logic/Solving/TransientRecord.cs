namespace SweepRig.Logic.Solving;

/// <summary>Moments of a transient as they are found.</summary>
internal sealed class TransientRecord(Circuit circuit)
{
    private readonly List<double> _seconds = [];
    private readonly List<double>[] _volts = [.. circuit.Nodes.Select(_ => new List<double>())];

    public void Add(double seconds, ReadOnlySpan<double> volts)
    {
        _seconds.Add(seconds);
        for (var n = 0; n < _volts.Length; n++) _volts[n].Add(volts[n]);
    }

    public Transient End() => new(circuit, [.. _seconds], [.. _volts.Select(v => v.ToArray())]);
}
