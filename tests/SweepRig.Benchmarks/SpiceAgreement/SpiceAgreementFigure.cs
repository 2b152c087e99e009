using System.Diagnostics;
using System.Globalization;
using SweepRig.Analysis.Tests.Spice;
using SweepRig.Domain.Quantities;
using SweepRig.Domain.Tubes;
using SweepRig.Tubes.Catalogue;
using SweepRig.Tubes.Lots;
using SweepRig.Tubes.Fixture;
using SweepRig.Tubes.Model;

namespace SweepRig.Benchmarks.SpiceAgreement;

/// <summary>
/// Exported subcircuits in one run of ngspice beside the model solved by <see cref="FixtureSolver"/>: eight fixtures, both connections, drives from cut-off to far
/// positive, 200 points. Tubes: sound, worn and gassy, and two of a lot. The tolerance of the simulator is the one that the export advises.
/// </summary>
public static class SpiceAgreementFigure
{
    private const double From = -14, To = 28;
    private const int Drives = 25;

    /// <exception cref="InvalidOperationException">ngspice is missing or gave no answer.</exception>
    public static async Task<FigureLine> MeasureAsync()
    {
        var heater = new Volts(6.3);
        var drawn = new LotSpread().Draw(ExampleTubes.Sound6BH6, seed: 14, count: 2).Select(p => new TubeModel(p, heater)).ToList();
        TubeModel sound = new(ExampleTubes.Sound6AU6, heater), worn = new(ExampleTubes.Weak6AU6, heater);
        FixtureDeck.Placed[] fixtures =
        [
            new(sound, FixtureDeck.With(ConnectionKind.Pentode, 28, 10e3, 100, 4.7e3)),
            new(sound, FixtureDeck.With(ConnectionKind.Triode, 28, 10e3, 100, 4.7e3)),
            new(drawn[0], FixtureDeck.With(ConnectionKind.Pentode, 28, 47e3, 1e3, 47e3)),
            new(drawn[0], FixtureDeck.With(ConnectionKind.Triode, 28, 47e3, 100, 1e6)),
            new(drawn[1], FixtureDeck.With(ConnectionKind.Pentode, 45, 2.2e3, 4.7e3, 1e3)),
            new(drawn[1], FixtureDeck.With(ConnectionKind.Triode, 60, 220e3, 100, 100e3)),
            new(worn, FixtureDeck.With(ConnectionKind.Pentode, 12, 22e3, 100, 4.7e3)),
            new(worn, FixtureDeck.With(ConnectionKind.Triode, 28, 4.7e3, 100, 10e3)),
        ];

        var seen = await FixtureDeck.CompareAsync(fixtures, From, To, Drives, CancellationToken.None);
        var ours = Seconds(() =>
        {
            foreach (var fixture in fixtures)
            {
                var solver = new FixtureSolver(fixture.Connection);
                for (var n = 0; n < Drives; n++) solver.Solve(fixture.Tube, From + n * (To - From) / (Drives - 1));
            }
        });
        return new(
            "spice-agreement",
            string.Create(CultureInfo.InvariantCulture, $"{1e3 * seen.Worst:0.0e0} mV worst of {3 * seen.Points} nodes at {seen.Points} points"),
            "< 1 mV at 200 points",
            string.Create(CultureInfo.InvariantCulture, $"one run of ngspice {seen.Answer.Seconds:0.00} s with its start, our solver {1e3 * ours:0.0} ms, ratio {seen.Answer.Seconds / ours:0}"),
            seen.Points >= 200 && seen.Worst < 1e-3);
    }

    private static double Seconds(Action work)
    {
        // The first round is the compiler's.
        work();
        var clock = Stopwatch.StartNew();
        work();
        return clock.Elapsed.TotalSeconds;
    }
}
