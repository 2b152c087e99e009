using SweepRig.Domain.Quantities;
using SweepRig.Logic.Networks;
using SweepRig.Logic.Search;
using SweepRig.Logic.Solving;

namespace SweepRig.Logic.Building;

/// <summary>Counts the parts of a build and finds what each bears in its worst row.</summary>
internal sealed class PartsCount
{
    // Sizes in which leaded resistors and film or ceramic capacitors are usually sold (common practice, no source).
    private static readonly double[] Watts = [0.125, 0.25, 0.5, 1, 2, 3, 5, 10], RatedVolts = [50, 63, 100, 160, 250, 400];

    private readonly Network _network;
    private readonly BuildTolerances _tolerances;
    private readonly List<(BuildRow Row, OperatingPoint Point)> _points = [];

    public PartsCount(BuildPlan plan, BuildTolerances tolerances)
    {
        (_network, _tolerances) = (plan.Network, tolerances);
        foreach (var row in plan.Rows)
        {
            var network = row.Set.Aggregate(plan.Network, (n, set) => n.With(n.Parts.OfType<Source>().First(s => s.Name == set.Key) with { Volts = Waveform.Steady(set.Value) }));
            var circuit = Circuit.Of(network);
            double[] start = [.. circuit.Nodes.Select(n => row.Volts.GetValueOrDefault(n))];
            if (new DcSolver(new(circuit)).Solve(start) is not { } point) throw new InvalidOperationException($"SweepRig bug: row {row.Name} was solved before and is not now.");
            _points.Add((row, point));
        }
    }

    public PartsList List()
    {
        ListedTube[] tubes = [.. _network.Tubes.Select(Tube)];
        var known = tubes.Where(t => t.HeaterAmps is not null).ToList();
        return new(
            tubes,
            [.. _network.Parts.OfType<Resistor>().GroupBy(r => r.Ohms).OrderBy(g => g.Key).Select(g => Resistors(g.Key, [.. g]))],
            [.. _network.Parts.OfType<Capacitor>().GroupBy(c => c.Farads).OrderBy(g => g.Key).Select(g => Others(Engineering.Format(g.Key, "F", 3), [.. g.Select(c => (c.Name, Most(c.A, c.B)))]))],
            [.. _network.Parts.OfType<Diode>().GroupBy(d => (d.SaturationAmps, d.Emission)).Select(g => Others("small-signal diode", [.. g.Select(d => (d.Name, Math.Max(0, _points.Max(p => p.Point.At(d.Cathode) - p.Point.At(d.Anode)))))]))],
            [.. _network.Parts.OfType<Source>().Select((s, at) => (s, at)).Where(s => !_points.Any(p => p.Row.Set.ContainsKey(s.s.Name))).Select(s => Rail(s.s, s.at))],
            known.Sum(t => t.HeaterAmps!.Value), known.Sum(t => t.HeaterAmps!.Value * t.HeaterVolts), [.. tubes.Where(t => t.HeaterAmps is null).Select(t => t.Position)]);
    }

    private ListedTube Tube(TubePart tube, int at)
    {
        double amps = 0, watts = 0;
        foreach (var (_, point) in _points)
        {
            var i = point.Tubes[at];
            amps = Math.Max(amps, i.Grid + i.Screen + i.Plate);
            watts = Math.Max(watts, (point.At(tube.Plate) - point.At(tube.Cathode)) * (tube.IsTriode ? i.Plate + i.Screen : i.Plate));
        }
        return new(tube.Name, tube.Number, tube.TypeName, tube.IsTriode, tube.HeaterVolts, tube.HeaterAmps, amps, watts);
    }

    private ListedResistors Resistors(double ohms, List<Resistor> all)
    {
        var adverse = Math.Pow(1 + _tolerances.Parts.RailTolerance, 2) / (1 - _tolerances.Parts.ResistorTolerance);
        var watts = all.Max(r => Math.Pow(Most(r.A, r.B), 2) / r.Ohms) * adverse;
        PreferredSeries? series = Enum.GetValues<PreferredSeries>().Cast<PreferredSeries?>().FirstOrDefault(s => PreferredValues.Between(s!.Value, ohms * 0.999999, ohms * 1.000001).Count > 0);
        return new(ohms, series, [.. all.Select(r => r.Name)], watts, Watts.Cast<double?>().FirstOrDefault(w => w >= PartsList.SafetyFactor * watts));
    }

    private static ListedOthers Others(string kind, List<(string Name, double Volts)> all)
    {
        var most = all.Max(a => a.Volts);
        return new(kind, [.. all.Select(a => a.Name)], most, RatedVolts.FirstOrDefault(v => v >= PartsList.SafetyFactor * most, RatedVolts[^1]));
    }

    private ListedRail Rail(Source source, int at)
    {
        var amps = _points.Select(p => p.Point.SourceAmps[at]).MaxBy(Math.Abs);
        return new(source.Plus, source.Volts.At(0), amps, _points.Max(p => p.Point.SourceAmps[at] * source.Volts.At(0)));
    }

    private double Most(string a, string b) => _points.Max(p => Math.Abs(p.Point.At(a) - p.Point.At(b)));
}
