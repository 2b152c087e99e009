using System.Globalization;
using System.Text;
using System.Text.Json;
using SweepRig.Domain.Quantities;
using SweepRig.Logic.Export;
using SweepRig.Logic.Gates;
using SweepRig.Logic.Networks;
using SweepRig.Logic.Yield;
using SweepRig.Tubes.Catalogue;
using SweepRig.Tubes.Model;

namespace SweepRig.Benchmarks.Logic;

/// <summary>The half adder whose yield three programs count: the same network, rows and tolerances; resistors and rails vary by 5 %.</summary>
internal static class HalfAdderTrials
{
    public const double Tolerance = 0.05;

    public static GateNetwork Network { get; } = GateExamples.HalfAdder(new(28, -14, 6.3), new());

    public static TubePart Tube(string position) => new(position, "p", "s", "g", "0", new TubeModel(ExampleTubes.Sound6AU6, new Volts(6.3)));

    public static Tolerances Tolerances { get; } = new(Tolerance, Tolerance, 0, 0, 0);

    /// <summary>A deck that repeats: draws every resistor and rail anew, then solves the four rows, in one process.</summary>
    /// <param name="low">Voltage of a low input.</param>
    /// <param name="high">Of a high one.</param>
    public static string SpiceDeck(int trials, double low, double high)
    {
        var network = GateWiring.Wire(Network, Tube, [Waveform.Steady(low), Waveform.Steady(low)]);
        var text = new StringBuilder(NetlistWriter.Write(network));
        text.Append(CultureInfo.InvariantCulture, $".control\nlet done = 0\nrepeat {trials}\n");
        foreach (var r in network.Parts.OfType<Resistor>()) text.Append(CultureInfo.InvariantCulture, $"let value = {r.Ohms}*(1+{Tolerance}*sunif(0))\nalter R{r.Name} = value\n");
        foreach (var (source, volts) in (ReadOnlySpan<(string, double)>)[("VEplate", 28), ("VEbias", -14)]) text.Append(CultureInfo.InvariantCulture, $"let value = {volts}*(1+{Tolerance}*sunif(0))\nalter {source} dc = value\n");
        foreach (var (a, b) in (ReadOnlySpan<(double, double)>)[(low, low), (low, high), (high, low), (high, high)])
            text.Append(CultureInfo.InvariantCulture, $"alter Va dc = {a}\nalter Vb dc = {b}\nop\nprint v(sum) v(carry)\n");
        return text.Append("end\nquit\n.endc\n.end\n").ToString();
    }

    /// <summary>The same network for the script, as JSON.</summary>
    public static string ForScript(NominalTable table, int trials)
    {
        var circuit = table.Values.Circuit;
        var p = ExampleTubes.Sound6AU6;
        var model = table.Values.Tubes[0];
        return JsonSerializer.Serialize(new
        {
            trials,
            tolerance = Tolerance,
            unknown = circuit.UnknownOf,
            resistors = circuit.Resistors.Select((r, at) => new[] { r.A, r.B, table.Values.Siemens[at] }),
            tubes = circuit.Tubes.Select(t => new[] { t.Grid, t.Screen, t.Plate, t.Cathode }),
            rails = circuit.Held.Where(h => table.Rails.Contains(h.Source)).Select(h => new[] { h.Node, h.Sign * table.Values.Sources[h.Source].At(0) }),
            inputs = table.Inputs.Select(i => circuit.Held.Single(h => h.Source == i).Node),
            rows = table.Rows.Select(r => new { volts = r.Volts, start = r.Start }),
            constants = new[]
            {
                p.Perveance, p.ScreenMu, p.PlateMu, p.GridOffset, p.CutoffSpread, p.GridShare, p.GridOnset, p.GridSpaceLimit, p.GridSpaceSharpness, p.PlateShare, p.PlateShareSlope,
                p.PlateSpaceLimit, p.PlateSpaceSharpness, p.FoldBackCurrent, p.Emission, p.EmissionSharpness, p.WorkFunctionElectronVolts, p.RatedTemperatureKelvin, p.GasRatio,
                p.GridCathodeLeakSiemens, p.GridScreenLeakSiemens, p.GridPlateLeakSiemens, p.PlateCathodeLeakSiemens, model.TemperatureKelvin,
            },
        });
    }
}
