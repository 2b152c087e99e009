using System.Globalization;
using SweepRig.Analysis.Spice;
using SweepRig.Logic.Networks;
using SweepRig.Tubes.Model;

namespace SweepRig.Logic.Export;

/// <summary>A network as a SPICE3 deck: circuit and tube subcircuits, complete but for the analysis. ngspice runs it as it is.</summary>
/// <remarks>Names of nodes and parts are kept, with the letter of the kind put before a part's name, as SPICE tells kinds apart by it.</remarks>
public static class NetlistWriter
{
    /// <param name="provenance">Beside each tube; null for the name of the network alone.</param>
    /// <returns>ASCII, lines ended by LF: title, options, parts, subcircuits. Without <c>.end</c>, so that an analysis can follow.</returns>
    public static string Write(Network network, string? provenance = null)
    {
        ArgumentNullException.ThrowIfNull(network);
        var lines = new List<string> { "* " + Ascii(network.Name), "* " + Ascii(provenance ?? "Written by SweepRig; voltages against node 0, extra-low voltage only."), ".options reltol=1e-6 abstol=1e-12 vntol=1e-9 gmin=1e-15" };
        foreach (var part in network.Parts.Where(p => p is not TubePart)) lines.Add(Line(part));
        var models = new Dictionary<(TubeParameters, double), string>();
        var libraries = new List<string>();
        foreach (var tube in network.Tubes)
        {
            if (tube.Curve is { } curve)
            {
                lines.AddRange(Measured(tube, curve));
                lines.AddRange(Capacitances(tube));
                continue;
            }
            var key = (tube.Model.Parameters, tube.Model.TemperatureKelvin);
            if (!models.TryGetValue(key, out var name))
            {
                models[key] = name = $"tube_{models.Count + 1}";
                var source = new SpiceProvenance(tube.Number is { } number ? $"Tube {number}{(tube.TypeName is { } type ? $", type {type}" : "")}" : $"Constants of {tube.Name}", "as in the network");
                libraries.Add(TubeSubcircuit.Write(tube.Model, name, source).Text);
            }
            lines.Add(tube.IsTriode ? $"X{tube.Name} {tube.Plate} {tube.Grid} {tube.Cathode} {name}_triode" : $"X{tube.Name} {tube.Plate} {tube.Screen} {tube.Grid} {tube.Cathode} {name}");
            lines.AddRange(Capacitances(tube));
        }
        foreach (var diode in network.Parts.OfType<Diode>()) lines.Add($".model D{diode.Name}_law D(IS={N(diode.SaturationAmps)} N={N(diode.Emission)})");
        return string.Join('\n', lines.Concat(libraries.Select(l => l.TrimEnd('\n')))) + "\n";
    }

    /// <summary>Voltages near which the simulator looks for its direct-current solution.</summary>
    /// <param name="volts">Of each node that is to be told.</param>
    public static string NodeSet(IReadOnlyDictionary<string, double> volts)
    {
        ArgumentNullException.ThrowIfNull(volts);
        return volts.Count == 0 ? "" : ".nodeset " + string.Join(' ', volts.Select(v => $"v({v.Key})={N(v.Value)}")) + "\n";
    }

    private static string Line(Part part) => part switch
    {
        Resistor r => $"R{r.Name} {r.A} {r.B} {N(r.Ohms)}",
        Capacitor c => $"C{c.Name} {c.A} {c.B} {N(c.Farads)}",
        Diode d => $"D{d.Name} {d.Anode} {d.Cathode} D{d.Name}_law",
        Source s => $"V{s.Name} {s.Plus} {s.Minus} {Volts(s.Volts)}",
        _ => throw new ArgumentException($"SweepRig bug: {part.GetType().Name} has no line in a netlist.", nameof(part)),
    };

    // Straight pieces, as SPICE has no others: so many between two samples that they leave the cubic by less than a millivolt on a usual load.
    private static IEnumerable<string> Measured(TubePart tube, MeasuredCurve curve)
    {
        const int pieces = 16;
        double[] grids = [.. curve.Points.Zip(curve.Points.Skip(1)).SelectMany(p => Enumerable.Range(0, pieces).Select(n => p.First + n * (p.Second - p.First) / pieces)), curve.Points[^1]];
        double[] all = [curve.Points[0] - 100, .. grids, curve.Points[^1] + 100];
        yield return $"* {tube.Name}: as swept in run {Ascii(curve.RunId)}, good for this plate load alone";
        yield return Line("p", tube.Plate, g => curve.At(g).Plate);
        yield return Line("g", tube.Grid, g => curve.At(g).Grid);

        string Line(string end, string node, Func<double, double> amps) =>
            $"B{tube.Name}_{end} {node} {tube.Cathode} I = pwl(v({tube.Grid},{tube.Cathode}), {string.Join(", ", all.Select(g => $"{N(g)}, {N(amps(g))}"))})";
    }

    private static string Volts(Waveform volts)
    {
        var start = $"DC {N(volts.At(0))}";
        if (volts.IsSteady) return start;
        var corners = string.Join(' ', volts.Corners.Select(c => $"{N(c.Seconds)} {N(c.Volts)}"));
        // Repeated from its start on; the last corner is carried to the end of the period.
        if (volts.PeriodSeconds == 0) return $"{start} PWL({corners})";
        var last = volts.Corners[^1];
        if (last.Seconds < volts.PeriodSeconds) corners += $" {N(volts.PeriodSeconds)} {N(volts.Corners[0].Seconds > 0 ? last.Volts : volts.Corners[0].Volts)}";
        return $"{start} PWL({corners}) r=0";
    }

    private static IEnumerable<string> Capacitances(TubePart tube)
    {
        foreach (var c in Solving.Circuit.CapacitorsOf(new Network(tube.Name, [tube])).Where(c => c.Farads > 0)) yield return Line(c);
    }

    private static string N(double value) => value.ToString("R", CultureInfo.InvariantCulture);

    private static string Ascii(string words) => string.Concat(words.Select(c => char.IsAscii(c) && !char.IsControl(c) ? c : '?'));
}
