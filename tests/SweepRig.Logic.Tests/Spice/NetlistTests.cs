using System.Globalization;
using SweepRig.Analysis.Tests.Spice;
using SweepRig.Logic.Export;
using SweepRig.Logic.Networks;
using SweepRig.Logic.Solving;
using SweepRig.Logic.Tests.Support;
using SweepRig.Tubes.Catalogue;

namespace SweepRig.Logic.Tests.Spice;

/// <summary>The exported netlist, run in ngspice (Debian package) as it is, gives the voltages that the solver gives.</summary>
public sealed class NetlistTests
{
    public static TheoryData<string> Names => [.. Networks.Keys];

    private static Dictionary<string, Network> Networks { get; } = new()
    {
        ["inverter off"] = Samples.InverterOf(-3),
        ["inverter on"] = Samples.InverterOf(22),
        ["inverter halfway"] = Samples.InverterOf(13.5),
        ["triode inverter"] = Samples.InverterOf(22, triode: true),
        ["weak tube"] = Samples.InverterOf(22, tube: Samples.Tube(ExampleTubes.Sound6BH6 with { Emission = 0.004, GasRatio = 2e-4 })),
        ["three in a ring"] = Samples.Ring(3),
        ["diode clamp"] = Samples.InverterOf(26) is var n ? new Network("clamped", [.. n.Parts, new Diode("D1", "g1", "0"), new Source("E", "out", "k", Waveform.Steady(2)), new Resistor("Rk", "k", "0", 47_000)]) : null!,
    };

    [Theory]
    [MemberData(nameof(Names))]
    public async Task The_netlist_gives_the_voltages_of_the_solver(string name)
    {
        var network = Networks[name];
        var point = new DcSolver(new CircuitValues(Circuit.Of(network))).Solve()!;
        var answer = await Ngspice.RunAsync(NetlistWriter.Write(network), "op", network.Nodes.Select(n => $"v({n})"), TestContext.Current.CancellationToken);
        var row = Assert.Single(answer.Rows);
        foreach (var (node, at) in network.Nodes.Select((n, i) => (n, i))) Assert.Equal(point.At(node), row[at + 1], 1e-4);
    }

    [Fact]
    public async Task Ngspice_can_be_led_to_every_stable_state_of_a_bistable()
    {
        foreach (var triode in (bool[])[false, true])
        {
            var network = Samples.Bistable(triode: triode);
            foreach (var state in StateFinder.Find(new CircuitValues(Circuit.Of(network)), cancel: TestContext.Current.CancellationToken).Stable)
            {
                var near = new Dictionary<string, double> { ["p"] = Math.Round(state.Point.At("p")), ["q"] = Math.Round(state.Point.At("q")), ["g1"] = Math.Round(state.Point.At("g1"), 1), ["g2"] = Math.Round(state.Point.At("g2"), 1) };
                var answer = await Ngspice.RunAsync(NetlistWriter.Write(network) + NetlistWriter.NodeSet(near), "op", ["v(p)", "v(q)"], TestContext.Current.CancellationToken);
                Assert.Equal(state.Point.At("p"), answer.Rows[0][1], 1e-3);
                Assert.Equal(state.Point.At("q"), answer.Rows[0][2], 1e-3);
            }
        }
    }

    [Fact]
    public async Task A_step_through_two_inverters_takes_as_long_in_ngspice()
    {
        var network = new Network("two inverters",
        [
            Samples.Rail(), Samples.Bias(), new Source("in", "in", "0", Waveform.Through([(2e-6, 2), (2.1e-6, 26), (12e-6, 26), (12.1e-6, 2)])),
            .. Samples.Inverter("1", "in", "p"), .. Samples.Inverter("2", "p", "q"),
        ]);
        var values = new CircuitValues(Circuit.Of(network));
        var ours = new TransientSolver(values).Run(new DcSolver(values).Solve()!.Volts, 25e-6, TestContext.Current.CancellationToken).Value!;
        var answer = await Ngspice.RunAsync(NetlistWriter.Write(network), "tran 2n 25u 0 5n", ["v(p)", "v(q)"], TestContext.Current.CancellationToken);
        var theirs = new Transient(ours.Circuit, [.. answer.Rows.Select(r => r[0])], [.. ours.Circuit.Nodes.Select(n => answer.Rows.Select(r => n == "p" ? r[1] : n == "q" ? r[2] : 0).ToArray())]);
        foreach (var (node, rising) in (ReadOnlySpan<(string, bool)>)[("p", false), ("q", true), ("p", true), ("q", false)])
        {
            var (a, b) = (ours.Crossings(node, 14, rising).Single(), theirs.Crossings(node, 14, rising).Single());
            var since = rising == (node == "q") ? 2.05e-6 : 12.05e-6;
            Assert.True(Math.Abs(a - b) < 0.01 * (b - since), string.Create(CultureInfo.InvariantCulture, $"{node}: {a} s against {b} s"));
        }
    }
}
