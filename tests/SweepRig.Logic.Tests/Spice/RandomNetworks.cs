using SweepRig.Domain.Quantities;
using SweepRig.Logic.Gates;
using SweepRig.Logic.Networks;
using SweepRig.Logic.Search;
using SweepRig.Tubes.Catalogue;
using SweepRig.Tubes.Lots;
using SweepRig.Tubes.Model;

namespace SweepRig.Logic.Tests.Spice;

/// <summary>Networks of gates with random values, rails and tubes of a simulated lot; the same for the same seed.</summary>
public static class RandomNetworks
{
    /// <param name="Network">To be solved.</param>
    /// <param name="Kind">For the report.</param>
    /// <param name="Signals">Nodes of the gates.</param>
    public sealed record Drawn(Network Network, string Kind, IReadOnlyList<string> Signals);

    private static readonly string[] Kinds = ["inverter", "nor", "latch", "half-adder"];

    public static IEnumerable<Drawn> Draw(int seed, int count)
    {
        var random = new Random(seed);
        var heater = new Volts(6.3);
        TubeModel[] lot = [.. new[] { ExampleTubes.Sound6AU6, ExampleTubes.Sound6BH6, ExampleTubes.Weak6AU6 }.SelectMany(t => new LotSpread().Draw(t, seed, 20)).Select(p => new TubeModel(p, heater))];
        for (var n = 0; n < count; n++)
        {
            var kind = Kinds[n % Kinds.Length];
            var values = new StageValues
            {
                IsTriode = n / Kinds.Length % 2 == 1,
                PlateOhms = Ohms(4_700, 47_000),
                ScreenOhms = Ohms(100, 4_700),
                StopperOhms = Ohms(1_000, 47_000),
                UpperOhms = Ohms(47_000, 220_000),
                LowerOhms = Ohms(68_000, 330_000),
            };
            var rails = new GateRails(Math.Round(20 + 20 * random.NextDouble(), 1), -Math.Round(8 + 12 * random.NextDouble(), 1), 6.3);
            var network = GateExamples.All.Single(e => e.Word == kind).Make(rails, values);
            // What a stage feeds loads it: the inverter gets one to three stages behind it.
            if (kind == "inverter") network = network with { Gates = [.. network.Gates, .. Enumerable.Range(1, random.Next(1, 4)).Select(l => new Gate($"load{l}", GateKind.Nor, ["y"], values))] };
            var inputs = network.Inputs.Select(_ => Waveform.Steady(Math.Round(rails.Plate * random.NextDouble(), 2))).ToList();
            var tubes = network.Positions.ToDictionary(p => p, _ => new TubePart("V", "p", "s", "g", "0", lot[random.Next(lot.Length)]));
            yield return new(GateWiring.Wire(network, p => tubes[p], inputs), kind, [.. network.Gates.Select(g => g.Output)]);
        }

        double Ohms(double low, double high)
        {
            var choice = PreferredValues.Between(PreferredSeries.E24, low, high);
            return choice[random.Next(choice.Count)];
        }
    }
}
