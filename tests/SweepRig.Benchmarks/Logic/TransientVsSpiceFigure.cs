using System.Diagnostics;
using System.Globalization;
using SweepRig.Analysis.Tests.Spice;
using SweepRig.Domain.Quantities;
using SweepRig.Logic.Export;
using SweepRig.Logic.Gates;
using SweepRig.Logic.Networks;
using SweepRig.Logic.Solving;
using SweepRig.Tubes.Catalogue;
using SweepRig.Tubes.Model;

namespace SweepRig.Benchmarks.Logic;

/// <summary>A flip-flop set and reset in turn: delay from each pulse to the output, and the time that it takes, beside ngspice on the exported netlist in the same call.</summary>
public static class TransientVsSpiceFigure
{
    private const double End = 60e-6, Threshold = 14;

    /// <exception cref="InvalidOperationException">ngspice is missing.</exception>
    public static async Task<FigureLine> MeasureAsync()
    {
        var tube = new TubePart("V", "p", "s", "g", "0", new TubeModel(ExampleTubes.Sound6AU6, new Volts(6.3)));
        var latch = GateExamples.Latch(new(28, -14, 6.3), new() { SpeedUpFarads = 22e-12 });
        Waveform Pulse(double at) => Waveform.Through([(at, 2), (at + 0.1e-6, 26), (at + 5e-6, 26), (at + 5.1e-6, 2)]);
        double[] pulses = [5e-6, 30e-6];
        var network = GateWiring.Wire(latch, _ => tube, [Pulse(pulses[0]), Pulse(pulses[1])]);
        var values = new CircuitValues(Circuit.Of(network));
        var start = StateFinder.Find(values).Stable.MinBy(s => s.Point.At("q"))!.Point;
        var solver = new TransientSolver(values);
        var ours = double.PositiveInfinity;
        Transient? mine = null;
        for (var n = 0; n < 5; n++)
        {
            var clock = Stopwatch.StartNew();
            mine = solver.Run(start.Volts, End).Value;
            ours = Math.Min(ours, clock.Elapsed.TotalSeconds);
        }
        var set = NetlistWriter.NodeSet(network.Nodes.ToDictionary(n => n, n => Math.Round(start.At(n), 2)));
        var deck = NetlistWriter.Write(network) + set;
        var answer = await Ngspice.RunAsync(deck, "tran 10n 60u 0 50n", ["v(q)"], CancellationToken.None);
        var idle = await Ngspice.RunAsync(deck, "op", ["v(q)"], CancellationToken.None);
        var theirs = new Transient(mine!.Circuit, [.. answer.Rows.Select(r => r[0])], [.. mine.Circuit.Nodes.Select(n => answer.Rows.Select(r => n == "q" ? r[1] : 0).ToArray())]);
        var worst = 0.0;
        var delays = new List<double>();
        foreach (var (at, rising) in (ReadOnlySpan<(double, bool)>)[(pulses[0], true), (pulses[1], false)])
        {
            var (a, b) = (mine.Crossings("q", Threshold, rising, at).First() - at, theirs.Crossings("q", Threshold, rising, at).First() - at);
            delays.Add(a);
            worst = Math.Max(worst, Math.Abs(a - b) / b);
        }
        var spice = answer.Seconds - idle.Seconds;
        return new(
            "transient-vs-spice",
            string.Create(CultureInfo.InvariantCulture, $"{100 * worst:0.00} % apart in delay ({string.Join(" and ", delays.Select(d => (1e6 * d).ToString("0.000", CultureInfo.InvariantCulture)))} us), {spice / ours:0} times faster"),
            "within 1 %, >= 10 times faster",
            string.Create(CultureInfo.InvariantCulture, $"ngspice {1e3 * spice:0} ms without its start, ours {1e3 * ours:0.0} ms, {mine.Seconds.Length} and {theirs.Seconds.Length} moments"),
            worst < 0.01 && spice / ours >= 10);
    }
}
