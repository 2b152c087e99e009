using SweepRig.Domain.Quantities;
using SweepRig.Logic.Networks;
using SweepRig.Logic.Search;
using SweepRig.Tubes.Model;

namespace SweepRig.Logic.Building;

/// <summary>Every single fault that a build is held against.</summary>
internal static class BuildFaults
{
    private const double OpenOhms = 1e10, ShortOhms = 1;
    private const string Apart = "xx_apart";

    /// <param name="stock">Tubes that could be at a place by mistake.</param>
    public static IReadOnlyList<BuildFault> Of(BuildPlan plan, IReadOnlyList<TubePart> stock)
    {
        var network = plan.Network;
        var held = network.Parts.OfType<Source>().Where(s => s.Minus == Network.Ground).ToList();
        var inputs = plan.Rows.SelectMany(r => r.Set.Keys).ToHashSet(StringComparer.Ordinal);
        var rails = held.Where(s => !inputs.Contains(s.Name)).ToList();
        return
        [
            BuildFault.None,
            .. network.Parts.OfType<Resistor>().SelectMany(Of),
            .. network.Tubes.SelectMany(t => Of(t, stock, network)),
            .. network.Parts.OfType<Diode>().SelectMany(Of),
            .. plan.Nodes.SelectMany(n => Shorts(n, rails)),
            .. rails.Select(r => With(r.Name, $"{r.Plus} is off: its supply, fuse or wire", $"Measure {r.Plus} at the network.", n => n.With(r with { Volts = Waveform.Steady(0) }))),
            .. held.Where(s => inputs.Contains(s.Name)).Select(s => With(s.Name, $"input {s.Plus} does not reach the network", $"With rails off, follow the wire of {s.Plus}.", n => n.With(s with { Plus = Apart }))),
            With("heaters", "the heaters are off", "Look whether they glow, and measure their supply.", n => n.Tubes.Aggregate(n, (all, t) => all.With(Dead(t)))),
        ];
    }

    private static IEnumerable<BuildFault> Of(Resistor r)
    {
        var look = $"With rails off and capacitors discharged, lift one end of {r.Name} and measure it.";
        yield return Worth(OpenOhms, $"{r.Name} is open, or a wire to it");
        yield return Worth(Math.Min(ShortOhms, r.Ohms / 10), $"{r.Name} is shorted");
        var series = PreferredValues.Between(PreferredSeries.E24, r.Ohms / 1.5, r.Ohms * 1.5);
        foreach (var ohms in (double[])[r.Ohms * 10, r.Ohms / 10, .. series.Where(v => v > r.Ohms * 1.01).Take(1), .. series.Where(v => v < r.Ohms / 1.01).TakeLast(1)])
            if (ohms is >= NetworkChecks.LeastOhms and <= NetworkChecks.MostOhms) yield return Worth(ohms, $"{r.Name} is {Engineering.Format(ohms, "Ω", 3)} instead of {Engineering.Format(r.Ohms, "Ω", 3)}");

        BuildFault Worth(double ohms, string says) => With(r.Name, says, look, n => n.With(r with { Ohms = ohms }));
    }

    private static IEnumerable<BuildFault> Of(TubePart tube, IReadOnlyList<TubePart> stock, Network network)
    {
        var look = $"Put a tube known to be good in the place {tube.Name}.";
        yield return With(tube.Name, $"{tube.Name} gives nothing: dead, cold, or its cathode or socket open", look, n => n.With(Dead(tube)));
        yield return With(tube.Name, $"{tube.Name} is weak: a tenth of its current", look, n => n.With(Moved(tube, p => p with { Perveance = p.Perveance / 10, Emission = p.Emission / 10 })));
                yield return With(tube.Name, $"the plate of {tube.Name} is open at its socket", look, n => n.With(tube with { Plate = Apart, Screen = tube.IsTriode ? Apart : tube.Screen }));
        if (tube.Cathode == Network.Ground)
            yield return With(tube.Name, $"grid and cathode of {tube.Name} touch", look, n => new(n.Name, [.. n.Parts, new Resistor("Xshort", tube.Grid, tube.Cathode, ShortOhms)]));
        var used = network.Tubes.Select(t => t.Number).OfType<string>().ToHashSet(StringComparer.OrdinalIgnoreCase);
        foreach (var other in stock.Where(s => s.Number is null || !used.Contains(s.Number)))
            yield return With(tube.Name, $"{other.Number ?? "another tube"} stands in {tube.Name}{(tube.Number is { } right ? $" instead of {right}" : "")}", $"Read the number of the tube in {tube.Name}.", n => n.With(tube with { Model = other.Model, Number = null }));
        foreach (var other in network.Tubes.Where(t => string.CompareOrdinal(t.Name, tube.Name) > 0 && t.Model.Parameters != tube.Model.Parameters))
            yield return With(tube.Name, $"the tubes of {tube.Name} and {other.Name} are exchanged", "Read their numbers.", n => n.With(tube with { Model = other.Model, Number = null }).With(other with { Model = tube.Model, Number = null }));
    }

    private static IEnumerable<BuildFault> Of(Diode diode)
    {
        var look = $"With rails off, lift one end of {diode.Name} and measure it both ways.";
        yield return With(diode.Name, $"{diode.Name} is the wrong way round", look, n => n.With(diode with { Anode = diode.Cathode, Cathode = diode.Anode }));
        yield return With(diode.Name, $"{diode.Name} is open", look, n => Instead(n, diode, OpenOhms));
        yield return With(diode.Name, $"{diode.Name} is shorted", look, n => Instead(n, diode, ShortOhms));
    }

    private static IEnumerable<BuildFault> Shorts(string node, IReadOnlyList<Source> rails)
    {
        var look = $"With rails off and capacitors discharged, measure from {node} to its neighbours, and look for a bridge of solder.";
        foreach (var to in rails.Select(r => r.Plus).Prepend(Network.Ground))
            yield return With(node, $"{node} touches {(to == Network.Ground ? "ground" : to)}", look, n => new(n.Name, [.. n.Parts, new Resistor("Xshort", node, to, ShortOhms)]));
    }

    private static Network Instead(Network network, Diode diode, double ohms) => network.With(new Resistor(diode.Name, diode.Anode, diode.Cathode, ohms));

    // A thousand-millionth of its current: what is left is leakage.
    private static TubePart Dead(TubePart tube) => Moved(tube, p => p with { Perveance = p.Perveance * 1e-9, Emission = p.Emission * 1e-9 });

    private static TubePart Moved(TubePart tube, Func<TubeParameters, TubeParameters> by) => tube with { Model = new TubeModel(by(tube.Model.Parameters), new Volts(tube.HeaterVolts)), Number = null };

    private static BuildFault With(string part, string says, string look, Func<Network, Network> apply) => new(part, says, look) { Apply = apply };
}
