using SweepRig.Domain;
using SweepRig.Domain.Tubes;
using SweepRig.Rigs.Simulated;
using SweepRig.Rigs.Simulated.Physics;
using SweepRig.Tubes.Catalogue;
using SweepRig.Tubes.Lots;
using SweepRig.Tubes.Model;

namespace SweepRig.Rigs.Tests.Simulated;

/// <summary>What the pins of a faulty tube show.</summary>
public class FaultyTubeTests
{
    private static readonly SimulatedRigOptions Quiet = new() { HumVolts = 0, NoiseVolts = 0, GainError = 0, OffsetErrorVolts = 0 };

    private static readonly TubeModel Hot = new(ExampleTubes.Sound6AU6, new(6.3));

    [Theory]
    [InlineData(ConnectionKind.Pentode)]
    [InlineData(ConnectionKind.Triode)]
    public void A_tube_without_fault_has_the_same_balance_in_both_solvers(ConnectionKind kind)
    {
        var wiring = new RigWiring(kind, 10_000, 100, 4_700);
        var wired = new Wired(wiring);
        for (var drive = -14.0; drive <= 24; drive += 0.5)
        {
            var exact = wired.Sound.Solve(Hot, drive, 28);
            var found = wired.Faulty.Solve(Hot, default, 0, null, drive, 28, default);
            Assert.True(found.IsSolved);
            Assert.Equal(exact.Grid, found.Grid, 7);
            Assert.Equal(exact.Screen, found.Screen, 7);
            Assert.Equal(exact.Plate, found.Plate, 7);
        }
    }

    [Fact]
    public void Every_short_and_resistance_has_a_balance_at_every_drive_and_temperature()
    {
        var fixture = new FaultyFixture(new(ConnectionKind.Pentode, 10_000, 100, 4_700));
        Electrode[] pins = [Electrode.Grid, Electrode.Screen, Electrode.Plate, Electrode.Cathode];
        foreach (var kelvin in new[] { 293.15, 700, 900, 1050 })
        {
            var tube = TubeModel.AtTemperature(ExampleTubes.Sound6AU6, kelvin);
            foreach (var a in pins)
                foreach (var b in pins.Where(p => p > a))
                    foreach (var ohms in new[] { 1.0, 500, 1e6 })
                        foreach (var inCathode in new[] { 0.0, 3_000 })
                            foreach (var rail in new[] { 0.0, 2, 28 })
                                for (var drive = -14.0; drive <= 24; drive += 2)
                                    Assert.True(fixture.Solve(tube, ShuntNetwork.Of([new(a, b, ohms)]), inCathode, null, drive, rail, default).IsSolved, $"{a}-{b} {ohms} ohm, {inCathode}, {kelvin} K, {drive} V, {rail} V");
        }
    }

    // Ohm's law alone: -14 V over 4.7 kohm and the short, no tube current at cut-off.
    [Fact]
    public void A_grid_shorted_to_the_cathode_divides_the_drive()
    {
        var host = Warm(new() { Shunts = [new(Electrode.Grid, Electrode.Cathode, 300)] });
        Assert.Equal(-14.0 * 300 / 5_000, Volts(host, RigChannel.Grid, -14), 0.02);
    }

    [Fact]
    public void A_screen_shorted_to_the_plate_keeps_the_plate_near_the_rail()
    {
        var sound = Warm(TubeBehaviour.None);
        var shorted = Warm(new() { Shunts = [new(Electrode.Screen, Electrode.Plate, 20)] });
        Assert.InRange(Volts(sound, RigChannel.Plate, 0), 5, 12);
        Assert.InRange(Volts(shorted, RigChannel.Plate, 0), 26, 28);
    }

    [Fact]
    public void An_open_heater_never_conducts()
    {
        var host = Warm(new() { HeaterOpen = true });
        Assert.Equal(28, Volts(host, RigChannel.Plate, 0), 0.02);
        Assert.Equal(TubeModel.AmbientKelvin, host.Machine.CathodeKelvin);
    }

    [Fact]
    public void A_slow_cathode_needs_as_many_times_longer()
    {
        var bench = new Bench(Quiet with { Tubes = [ExampleTubes.Sound6AU6, ExampleTubes.Sound6AU6], Behaviours = [null, new() { WarmUpFactor = 3 }] });
        bench.SwitchHeater(0, true, 6.3);
        var once = bench.KelvinAt(8_000_000);
        bench.SelectSocket(8_000_000, 1);
        Assert.Equal(once, bench.KelvinAt(24_000_000), 6);
        Assert.True(bench.KelvinAt(8_000_000) < once - 100);
    }

    // First order: the interface adds R times the cathode current to the bias; with the capacitance a step starts as if it were not there.
    [Fact]
    public void An_interface_resists_direct_current_and_lets_a_step_through()
    {
        var layer = new CathodeInterface(2_000, 0.1e-6);
        var bench = new Bench(Quiet with { Behaviours = [new() { Interface = layer }], HeaterSpeed = 1000 });
        var sound = new Bench(Quiet with { HeaterSpeed = 1000 });
        foreach (var b in new[] { bench, sound })
        {
            b.SwitchHeater(0, true, 6.3);
            b.SwitchRail(0, true, 28);
            b.WriteDrive(400_000, Quiet.Drive.ToCode(new(-14)));
            b.WriteDrive(500_000, Quiet.Drive.ToCode(new(-0.5)));
        }
        // The pins themselves have settled 80 us after the step, the interface has not.
        var early = bench.VoltsAt(500_080, RigChannel.Screen);
        var late = bench.VoltsAt(900_000, RigChannel.Screen);
        var without = sound.VoltsAt(900_000, RigChannel.Screen);
        Assert.True(early < late - 0.003, $"{early} {late}");
        Assert.True(without < early, $"{without} {early}");
        Assert.True(28 - late < 0.6 * (28 - without), $"{late} {without}");
    }

    [Fact]
    public void An_interface_grows_only_hot_and_cut_off()
    {
        const long hour = 3_600_000_000;
        var layer = new InterfaceLayer(new(100, 1e-8, 0.5));
        layer.Pass(0, true, 0);
        layer.Pass(200 * hour, true, 0);
        Assert.Equal(200, layer.Ohms, 6);
        layer.Pass(400 * hour, true, 1e-3);
        layer.Pass(600 * hour, false, 0);
        Assert.Equal(200, layer.Ohms, 6);
    }

    [Fact]
    public void A_tap_rings_and_dies_away()
    {
        var bench = new Bench(Quiet with { Behaviours = [new() { Microphony = new(0.02, 400, 0.1) }], HeaterSpeed = 1000 });
        bench.SwitchHeater(0, true, 6.3);
        bench.SwitchRail(0, true, 28);
        bench.WriteDrive(400_000, Quiet.Drive.ToCode(new(-0.5)));
        bench.Tap([600_000]);
        double Swing(long from) => Enumerable.Range(0, 100).Select(n => bench.VoltsAt(from + 250 * n, RigChannel.Plate)).ToArray() is var v ? v.Max() - v.Min() : 0;
        Assert.Equal(0, Swing(500_000), 9);
        var first = Swing(600_000);
        Assert.InRange(first, 0.1, 2);
        // Four decay times on, e^-4 is left.
        Assert.Equal(first * Math.Exp(-4), Swing(1_000_000), 0.2 * first * Math.Exp(-4));
    }

    [Fact]
    public void A_bad_contact_comes_and_goes_and_is_worse_when_tapped()
    {
        var contact = new ContactState(new(100, 0.5, 0.05), 3);
        var quiet = Changes(contact, 0);
        contact.Tap(10_000_000);
        Assert.InRange(quiet, 10, 60);
        Assert.True(Changes(contact, 10_000_000, 400_000) > quiet / 2);

        static int Changes(ContactState contact, long from, long length = 10_000_000)
        {
            var (changes, was) = (0, contact.OhmsAt(from));
            for (var at = from; at < from + length; at += 1_000)
            {
                var now = contact.OhmsAt(at);
                if (now != was) changes++;
                was = now;
            }
            return changes;
        }
    }

    [Fact]
    public void What_wanders_has_the_stated_deviation_and_time()
    {
        var wander = new SlowWander(0.02, 5, new(4));
        var values = Enumerable.Range(0, 200_000).Select(n => wander.At(n * 100_000L)).ToArray();
        var deviation = Math.Sqrt(values.Average(v => v * v));
        // 20,000 s are 4,000 time constants; the deviation of such a run is known to some 2 %.
        Assert.InRange(deviation, 0.0185, 0.0215);
        var correlation = Enumerable.Range(0, values.Length - 50).Average(n => values[n] * values[n + 50]) / (deviation * deviation);
        Assert.Equal(Math.Exp(-1), correlation, 0.05);
    }

    private static Host Warm(TubeBehaviour behaviour) => Host.Warm(Quiet with { Behaviours = [behaviour] });

    private static double Volts(Host host, RigChannel channel, double drive)
    {
        host.Blocks.Clear();
        host.Start(Host.Count(1_000, 16), [host.Drive(drive, drive, 4)]);
        host.RunToEnd();
        return host.Blocks.Volts(host.Options, channel).Average();
    }
}
