using SweepRig.Logic.Networks;
using SweepRig.Logic.Solving;
using SweepRig.Logic.Tests.Support;

namespace SweepRig.Logic.Tests.Solving;

public sealed class TransientTests
{
    [Fact]
    public void A_capacitor_charges_along_its_exponential()
    {
        // 10 kohm and 100 pF after a step of 10 V at 1 us: v = 10 V (1 - exp(-t/1 us)); any text on circuits.
        var network = new Network("rc",
            [new Source("in", "in", "0", Waveform.Through([(1e-6, 0), (1.0001e-6, 10)])), new Resistor("R", "in", "out", 10_000), new Capacitor("C", "out", "0", 100e-12)]);
        var transient = Run(network, 10e-6);
        foreach (var after in (double[])[0.2e-6, 0.69314718e-6, 1e-6, 3e-6, 8e-6])
            Assert.Equal(10 * (1 - Math.Exp(-(after - 0.00005e-6) / 1e-6)), transient.At("out", 1e-6 + after), 5e-3);
        Assert.Equal(1e-6 + 0.00005e-6 + Math.Log(2) * 1e-6, transient.Crossings("out", 5, rising: true).Single(), 3e-9);
    }

    [Fact]
    public void A_ladder_of_two_is_delayed_by_what_Elmore_says_on_the_average()
    {
        // The mean of the impulse response of an RC ladder is the sum over capacitors of the resistance in common (Elmore 1948, J. Appl. Phys. 19, 55): here
        // R1 (C1 + C2) + R2 C2. It is the area between the step and the response.
        var network = new Network("ladder",
        [
            new Source("in", "in", "0", Waveform.Through([(0, 0), (1e-10, 1)])), new Resistor("R1", "in", "a", 10_000), new Capacitor("C1", "a", "0", 50e-12),
            new Resistor("R2", "a", "out", 22_000), new Capacitor("C2", "out", "0", 30e-12),
        ]);
        var transient = Run(network, 40e-6, new() { AbsoluteVolts = 1e-5, RelativeTolerance = 1e-5 });
        var volts = transient.Of("out");
        var area = 0.0;
        for (var n = 1; n < volts.Length; n++) area += (1 - 0.5 * (volts[n] + volts[n - 1])) * (transient.Seconds[n] - transient.Seconds[n - 1]);
        Assert.Equal(10_000 * 80e-12 + 22_000 * 30e-12, area, 2e-9);
    }

    [Fact]
    public void A_ring_of_three_goes_round()
    {
        var network = Samples.Ring(3);
        var values = new CircuitValues(Circuit.Of(network));
        var start = new DcSolver(values).Solve()!.Volts.ToArray();
        start[values.Circuit.NodeOf("p0")] += 1;
        var transient = new TransientSolver(values).Run(start, 100e-6, TestContext.Current.CancellationToken).Value!;
        var rises = transient.Crossings("p0", 14, rising: true, from: 50e-6).ToArray();
        Assert.True(rises.Length > 5);
        var periods = rises.Zip(rises.Skip(1), (a, b) => b - a).ToArray();
        Assert.Equal(periods[0], periods[^1], periods[0] * 0.01);
        // A third later each: the three plates follow each other evenly.
        var next = transient.Crossings("p1", 14, rising: true, from: rises[0]).First();
        Assert.Equal(periods[0] * 2 / 3, next - rises[0], periods[0] * 0.02);
    }

    [Fact]
    public void A_bistable_left_alone_goes_to_the_side_that_it_leans_to()
    {
        var values = new CircuitValues(Circuit.Of(Samples.Bistable()));
        var between = StateFinder.Find(values, cancel: TestContext.Current.CancellationToken).All.Single(s => !s.IsStable).Point;
        foreach (var lean in (double[])[0.1, -0.1])
        {
            var start = between.Volts.ToArray();
            start[values.Circuit.NodeOf("p")] += lean;
            var end = new TransientSolver(values).Run(start, 200e-6, TestContext.Current.CancellationToken).Value!;
            Assert.Equal(lean > 0, end.Of("p")[^1] > end.Of("q")[^1]);
            Assert.True(Math.Abs(end.Of("p")[^1] - end.Of("q")[^1]) > 10);
        }
    }

    private static Transient Run(Network network, double seconds, TransientOptions? options = null)
    {
        var values = new CircuitValues(Circuit.Of(network));
        var start = new DcSolver(values).Solve();
        Assert.NotNull(start);
        var outcome = new TransientSolver(values, options).Run(start.Volts, seconds, TestContext.Current.CancellationToken);
        Assert.True(outcome.IsAccepted, string.Join("; ", outcome.Refusals));
        return outcome.Value;
    }
}
