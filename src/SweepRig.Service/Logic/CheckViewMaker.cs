using SweepRig.Domain;
using SweepRig.Logic.Export;
using SweepRig.Logic.Gates;
using SweepRig.Logic.Networks;
using SweepRig.Logic.Solving;
using SweepRig.Service.Contract;

namespace SweepRig.Service.Logic;

/// <summary>A gate with named tubes held against its table: levels, margins, powers, and the netlist of a row.</summary>
public static class CheckViewMaker
{
    /// <returns>Refused when stages like the first restore no levels.</returns>
    public static Outcome<CheckView> Of(AskedGate gate, ChosenTubes chosen, CancellationToken cancellation)
    {
        ArgumentNullException.ThrowIfNull(gate);
        ArgumentNullException.ThrowIfNull(chosen);
        var (network, placed) = (gate.Network, gate.Placed(chosen));
        var checkedRows = NetworkChecker.Check(network, placed, cancellation);
        if (checkedRows.Value is not { } check) return Outcome<CheckView>.Refuse([.. checkedRows.Refusals.Select(r => r with { Path = "/values" })]);
        string[] signals = [.. network.Gates.Select(g => g.Output)];
        CheckRowView[] rows =
        [
            .. check.Rows.Select(r => new CheckRowView(
                [.. r.Inputs], [.. signals.Select(s => r.Wanted[s])], r.Volts is { } volts ? [.. signals.Select(s => volts[s])] : null, r.IsRight, r.MarginVolts, r.FirstToFail)),
        ];
        var points = check.Rows.Select(row => Solve(network, placed, check, row)).ToList();
        var marked = network.Positions.SelectMany((_, at) => points.OfType<(OperatingPoint Point, double Watts)>().Select(p => Marked(network, chosen.Tubes[at], p.Point, at))).OfType<(string, string)>();
        double? supply = points.Any(p => p is null) ? null : points.Max(p => p!.Value.Watts);
        double? heaters = chosen.Tubes.Any(t => t.Part.HeaterAmps is null) ? null : chosen.Tubes.Sum(t => t.Part.HeaterAmps!.Value * t.Part.HeaterVolts);
        return Outcome<CheckView>.Accept(new(
            network.Name, check.Low, check.High, check.Threshold, check.IsRight, check.WorstMarginVolts, [.. network.Inputs], signals, [.. network.Outputs], rows,
            [.. network.Positions.Select((p, at) => new PlacedTubeView(p, chosen.Tubes[at].Part.Number, chosen.Tubes[at].Part.TypeName))], supply, heaters, [.. LogicRemarks.Of(chosen, marked)]));
    }

    /// <summary>The netlist of one row, complete with an analysis that is led to it.</summary>
    /// <param name="row">Place in the table.</param>
    public static Outcome<string> Netlist(AskedGate gate, ChosenTubes chosen, int row, CancellationToken cancellation)
    {
        ArgumentNullException.ThrowIfNull(gate);
        ArgumentNullException.ThrowIfNull(chosen);
        var (network, placed) = (gate.Network, gate.Placed(chosen));
        var rows = NetworkChecker.Check(network, placed, cancellation);
        if (rows.Value is not { } check) return Outcome<string>.Refuse([.. rows.Refusals.Select(r => r with { Path = "/values" })]);
        if (row < 0 || row >= check.Rows.Count)
            return Outcome<string>.Refuse(new Refusal("row-out-of-range", "/row", $"row {row}", $"{network.Name} has rows 0 to {check.Rows.Count - 1}", "Count the rows of its table from 0."));
        var wired = Wired(network, placed, check, check.Rows[row]);
        // A gate that stores has several balances; without this the simulator may stop on the one between them, which no bench shows.
        var led = check.Rows[row].Volts is { } volts ? NetlistWriter.NodeSet(volts.Where(v => !network.Inputs.Contains(v.Key)).ToDictionary(v => v.Key, v => Math.Round(v.Value, 3))) : "";
        return Outcome<string>.Accept(NetlistWriter.Write(wired) + led + $".op\n.print op {string.Join(' ', wired.Nodes.Select(n => $"v({n})"))}\n.end\n");
    }

    /// <summary>The parts of a gate with its inputs at the levels of one row.</summary>
    public static Network Wired(GateNetwork network, Func<string, TubePart> placed, NetworkCheck check, CheckedRow row)
    {
        ArgumentNullException.ThrowIfNull(row);
        return GateWiring.Wire(network, placed, [.. row.Inputs.Select(high => Waveform.Steady(Math.Round(high ? check.High : check.Low, 6)))]);
    }

    private static (OperatingPoint Point, double Watts)? Solve(GateNetwork network, Func<string, TubePart> placed, NetworkCheck check, CheckedRow row)
    {
        if (row.Volts is null) return null;
        var wired = Wired(network, placed, check, row);
        var values = new CircuitValues(Circuit.Of(wired));
        // With every signal held where the row has it all other nodes are told; from there the gate by itself stays in the row.
        var held = new CircuitValues(Circuit.Of(wired with { Parts = [.. wired.Parts, .. network.Gates.Select(g => new Source("hold_" + g.Output, g.Output, Network.Ground, Waveform.Steady(row.Volts[g.Output])))] }));
        if (new DcSolver(held).Solve() is not { } near) return null;
        if (new DcSolver(values).Solve([.. values.Circuit.Nodes.Select(near.At)]) is not { } point || row.Volts.Any(v => Math.Abs(point.At(v.Key) - v.Value) > 0.01)) return null;
        var inputs = values.Circuit.Network.Parts.OfType<Source>().Select((s, at) => (s, at)).Where(s => network.Inputs.Contains(s.s.Name)).Sum(s => s.s.Volts.At(0) * point.SourceAmps[s.at]);
        return (point, point.SourceWatts(values) - inputs);
    }

    private static (string, string)? Marked(GateNetwork network, ChosenTube tube, OperatingPoint point, int at)
    {
        var part = point.Circuit.Network.Tubes.First(t => t.Name == network.Positions[at]);
        var place = point.Circuit.Network.Tubes.Select((t, n) => (t, n)).First(t => t.t.Name == part.Name).n;
        var i = point.Tubes[place];
        return tube.Marked(part.IsTriode, point.At(part.Plate) - point.At(part.Cathode), i.Grid + i.Screen + i.Plate) is { } why ? ($"{part.Name} ({tube.Part.Number})", why) : null;
    }
}
