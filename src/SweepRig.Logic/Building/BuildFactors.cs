using SweepRig.Domain.Quantities;
using SweepRig.Logic.Networks;
using SweepRig.Tubes.Model;

namespace SweepRig.Logic.Building;

/// <summary>All that may be a little off in a build, each in its own standard deviations, and how far every node follows it.</summary>
internal sealed class BuildFactors
{
    // Far enough that rounding does not show, near enough that the network is straight.
    private const double Step = 0.1;

    private readonly BuildBench _bench;
    private readonly BuildTolerances _tolerances;
    private readonly List<Action<double>> _moves = [];
    private readonly IReadOnlyList<Source> _sources;
    private readonly int _resistors;

    public BuildFactors(BuildBench bench, BuildTolerances tolerances)
    {
        (_bench, _tolerances) = (bench, tolerances);
        var (values, network) = (bench.Values, bench.Values.Circuit.Network);
        _sources = [.. network.Parts.OfType<Source>()];
        var spread = tolerances.Parts.ResistorTolerance / Math.Sqrt(3);
        foreach (var (r, at) in network.Parts.OfType<Resistor>().Select((resistor, place) => (resistor, place)))
        {
            if (r.Name.StartsWith("Zmeter", StringComparison.Ordinal)) continue;
            var siemens = values.Siemens[at];
            _moves.Add(by => values.Siemens[at] = siemens / Math.Max(0.05, 1 + spread * by));
        }
        _resistors = _moves.Count;
        foreach (var (tube, at) in network.Tubes.Select((part, place) => (part, place)))
        {
            var sound = values.Tubes[at].Parameters;
            double[] moved = new double[3];
            for (var kind = 0; kind < 3; kind++)
            {
                var which = kind;
                _moves.Add(by =>
                {
                    moved[which] = by;
                    values.Tubes[at] = new TubeModel(tolerances.Parts.Moved(sound, moved[0], moved[1], moved[2]), new Volts(tube.HeaterVolts));
                });
            }
        }
    }

    /// <summary>How many there are: resistors, tubes three times, sources.</summary>
    public int Count => _moves.Count + _sources.Count;

    /// <summary>True for what has ends: resistors and sources; tubes are spread normally.</summary>
    public bool IsBounded(int factor) => factor < _resistors || factor >= _moves.Count;

    /// <param name="by">Standard deviations; of sources about what they are set to in the row.</param>
    /// <param name="row">Whose inputs are set.</param>
    public void Put(int factor, double by, BuildRow row)
    {
        if (factor < _moves.Count) _moves[factor](by);
        else
        {
            var at = factor - _moves.Count;
            var (volts, isInput) = row.Set.TryGetValue(_sources[at].Name, out var set) ? (set, true) : (_sources[at].Volts.At(0), false);
            var spread = isInput ? _tolerances.Meter(volts) : _tolerances.Parts.RailTolerance / Math.Sqrt(3) * Math.Abs(volts);
            _bench.Values.Sources[at] = Waveform.Steady(volts + spread * by);
        }
    }

    /// <summary>Change of each node by one standard deviation of each factor, from where the bench rests.</summary>
    /// <returns>By factor, then by node of the circuit.</returns>
    public float[][] Follow(BuildRow row)
    {
        double[] rest = [.. _bench.Volts];
        var follows = new float[Count][];
        for (var f = 0; f < Count; f++)
        {
            Put(f, Step, row);
            var solved = _bench.Again();
            follows[f] = solved ? [.. rest.Select((v, n) => (float)((_bench.Volts[n] - v) / Step))] : new float[rest.Length];
            Put(f, 0, row);
        }
        return follows;
    }
}
