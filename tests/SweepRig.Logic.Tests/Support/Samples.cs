using SweepRig.Domain.Quantities;
using SweepRig.Logic.Networks;
using SweepRig.Tubes.Catalogue;
using SweepRig.Tubes.Model;

namespace SweepRig.Logic.Tests.Support;

/// <summary>Small networks on the rails of the tide-clock: 28 V, bias -14 V, heaters 6.3 V.</summary>
internal static class Samples
{
    public static TubeModel Tube(TubeParameters? constants = null) => new(constants ?? ExampleTubes.Sound6AU6, new Volts(6.3));

    public static Source Rail(double volts = 28) => new("rail", "B", Network.Ground, Waveform.Steady(volts));

    public static Source Bias(double volts = -14) => new("bias", "C", Network.Ground, Waveform.Steady(volts));

    /// <summary>Plate resistor, divider to the bias, grid stopper: what follows a plate at <paramref name="from"/> and makes the plate <paramref name="to"/>.</summary>
    public static IEnumerable<Part> Inverter(string name, string from, string to, TubeModel? tube = null, bool triode = false) =>
    [
        new Resistor($"Rp{name}", "B", to, 10_000),
        new Resistor($"Ra{name}", from, $"m{name}", 100_000),
        new Resistor($"Rb{name}", $"m{name}", "C", 120_000),
        new Resistor($"Rs{name}", $"m{name}", $"g{name}", 4_700),
        .. triode ? Array.Empty<Part>() : [new Resistor($"Rg2{name}", "B", $"s{name}", 100)],
        new TubePart($"V{name}", to, triode ? to : $"s{name}", $"g{name}", Network.Ground, tube ?? Tube()),
    ];

    /// <summary>An inverter driven by a source <c>in</c>.</summary>
    public static Network InverterOf(double volts, bool triode = false, TubeModel? tube = null) => new("inverter",
        [Rail(), Bias(), new Source("in", "in", Network.Ground, Waveform.Steady(volts)), .. Inverter("1", "in", "out", tube, triode)]);

    /// <summary>Two inverters, each behind the other.</summary>
    public static Network Bistable(TubeModel? first = null, TubeModel? second = null, bool triode = false) => new("bistable",
        [Rail(), Bias(), .. Inverter("1", "q", "p", first, triode), .. Inverter("2", "p", "q", second, triode)]);

    /// <summary>An odd ring of inverters.</summary>
    public static Network Ring(int count) => new("ring",
        [Rail(), Bias(), .. Enumerable.Range(0, count).SelectMany(i => Inverter($"{i}", $"p{i}", $"p{(i + 1) % count}"))]);
}
