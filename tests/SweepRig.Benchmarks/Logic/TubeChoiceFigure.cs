using System.Diagnostics;
using System.Globalization;
using SweepRig.Domain.Quantities;
using SweepRig.Logic.Choice;
using SweepRig.Logic.Gates;
using SweepRig.Tubes.Catalogue;
using SweepRig.Tubes.Lots;
using SweepRig.Tubes.Model;

namespace SweepRig.Benchmarks.Logic;

/// <summary>A half adder whose carry sets a latch, twelve tubes out of a stock of two hundred; beside the first twelve as they come.</summary>
public static class TubeChoiceFigure
{
    private const int Stock = 200;

    public static Task<FigureLine> MeasureAsync()
    {
        var heater = new Volts(6.3);
        List<ChoiceTube> tubes = [.. new LotSpread().Draw(ExampleTubes.Sound6AU6, seed: 200, count: Stock).Select((p, n) => new ChoiceTube($"LOT-{n + 1:000}", new("V", "p", "s", "g", "0", new TubeModel(p, heater))))];
        var values = new StageValues();
        var rails = new GateRails(28, -14, 6.3);
        var network = new GateNetwork("adder and latch", rails, ["a", "b", "reset"], ["sum", "q"],
        [
            .. GateExamples.HalfAdder(rails, values).Gates,
            new("q", GateKind.Nor, ["reset", "p"], values), new("p", GateKind.Nor, ["carry", "q"], values),
        ]);
        var clock = Stopwatch.StartNew();
        var result = TubeChoice.Run(new(network, tubes)).Value ?? throw new InvalidOperationException("SweepRig bug: no tubes of a sound lot make an adder with a latch.");
        var seconds = clock.Elapsed.TotalSeconds;
        var positions = network.Positions.ToList();
        var asTheyCome = NetworkChecker.Check(network, p => tubes[positions.IndexOf(p)].Part!, result.Levels).WorstMarginVolts;
        var (margin, bound) = (result.Best.MarginVolts, result.BoundVolts);
        return Task.FromResult(new FigureLine(
            "tube-choice",
            string.Create(CultureInfo.InvariantCulture, $"{seconds:0.0} s for {positions.Count} tubes of {Stock}: margin {margin:0.0000} V, bound {bound:0.0000} V ({100 * (bound / margin - 1):0.00} % above{(result.IsBoundFirm ? "" : "; an estimate: the latch holds itself")})"),
            "< 60 s, bound printed",
            string.Create(CultureInfo.InvariantCulture,
                $"by the check of the network {result.Check.WorstMarginVolts:0.0000} V; runner-up {result.RunnerUp?.MarginVolts ?? 0:0.0000} V, the first twelve as they come {asTheyCome:0.0000} V; {result.Solutions} balances"),
            seconds < 60 && bound >= margin && result.Check.IsRight && Math.Abs(result.Check.WorstMarginVolts - margin) < 2e-3));
    }
}
