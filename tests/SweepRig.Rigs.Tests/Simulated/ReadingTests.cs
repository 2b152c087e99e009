using SweepRig.Domain;
using SweepRig.Domain.Quantities;
using SweepRig.Domain.Rigs;
using SweepRig.Domain.Runs;
using SweepRig.Domain.Tubes;
using SweepRig.Rigs.Calibration;
using SweepRig.Rigs.Link.Messages;
using SweepRig.Rigs.Simulated;
using SweepRig.Tubes.Catalogue;
using SweepRig.Tubes.Fixture;
using SweepRig.Tubes.Model;

namespace SweepRig.Rigs.Tests.Simulated;

/// <summary>What the converters make of the physics.</summary>
public class ReadingTests
{
    private static readonly Connection Pentode = new(
        ConnectionKind.Pentode, new(28), new(-14), new(6.3), new(10_000), new(100), new(4_700));

    // Steps of 10 mV (15 mV drive read-back), averaged; the stated errors of the default rig: gain 1e-4, offset 0.5 mV, each way.
    [Theory]
    [InlineData(ConnectionKind.Pentode)]
    [InlineData(ConnectionKind.Triode)]
    public void Codes_through_the_calibrator_give_the_solver_back_within_the_stated_errors(ConnectionKind kind)
    {
        var connection = Pentode with { Kind = kind };
        var options = new SimulatedRigOptions { HumVolts = 0, NoiseVolts = 8e-3 };
        var host = Host.Warm(options);
        host.Start(Host.Count(200, 256), [host.Drive(-14, 24, 77)], wiring: RigWiring.Of(connection));
        host.RunToEnd();
        Assert.Equal(77, host.Blocks.Sum(b => b.Count));

        var identity = new RigIdentity(
            1, "", "", "", 4, default, options.Drive, options.Channels, options.HardLimits, 300, 16, ResetReason.PowerOn);
        var calibrator = new Calibrator(identity, RigCalibration.Nominal(identity), connection);
        var solver = new FixtureSolver(connection);
        var tube = new TubeModel(ExampleTubes.Sound6AU6, new Volts(6.3));
        foreach (var block in host.Blocks)
        {
            var volts = calibrator.Convert(block);
            for (var i = 0; i < block.Count; i++)
            {
                var exact = solver.Solve(tube, options.Drive.ToVolts(block.DriveCode[i]));
                // The true drive differs from the nominal one by its own errors; the gain of the stage carries that to the plate.
                var drive = Error(options, volts.Drive[i]);
                var gain = Math.Abs(solver.Solve(tube, volts.Drive[i] + 0.01).Plate - exact.Plate) / 0.01;
                Near(exact.Plate, volts.Plate[i], Error(options, exact.Plate) + gain * drive);
                Near(exact.Grid, volts.Grid[i], Error(options, exact.Grid) + drive);
                Near(exact.Screen, volts.Screen[i], Error(options, exact.Screen) + gain * drive);
                Near(28, volts.Supply[i], Error(options, 28));
            }
        }

        // Half a stored step (1/16 of 10 mV), and five standard errors of 256 conversions.
        void Near(double expected, double actual, double error) =>
            Assert.InRange(Math.Abs(actual - expected), 0, error + 0.5 * 0.01 / 16 + 5 * options.NoiseVolts / 16);
        static double Error(SimulatedRigOptions o, double volts) => Math.Abs(volts) * o.GainError * 1.001 + o.OffsetErrorVolts;
    }

    [Fact]
    public void Averaging_over_mains_periods_takes_the_hum_out()
    {
        var options = new SimulatedRigOptions { HumVolts = 20e-3, NoiseVolts = 4e-3, OffsetErrorVolts = 0, GainError = 0 };
        double Ripple(RigTiming timing)
        {
            var host = Host.Warm(options);
            // In the steep part, and with a dwell that walks through the phases of the mains.
            host.Start(timing, [host.Drive(-0.5, -0.5, 60)], mask: 0b01111);
            host.RunToEnd();
            var plate = host.Blocks.Volts(options, RigChannel.Plate);
            return plate.Max() - plate.Min();
        }
        var plain = Ripple(Host.Count(1_700, 16));
        var whole = Ripple(new(1_700, 1, 1, 50, 0, 0));
        var wrong = Ripple(new(1_700, 1, 1, 60, 0, 0));

        // 20 mV amplitude at the grid and a gain of some 10 are several hundred millivolts at the plate.
        Assert.InRange(plain, 0.2, 2);
        // What is left is noise and steps: a hundredth or less of the hum, while the wrong mains frequency leaves over a tenth.
        Assert.InRange(whole / plain, 0, 0.01);
        Assert.InRange(wrong / plain, 0.05, 1);
    }

    // The standard deviation of a mean of n is sigma/sqrt(n) (GUM 4.2.3); a step of 10 mV adds 10/sqrt(12) mV to each conversion, independent here
    // because the noise is near half a step and more (checked with 8 mV).
    [Theory]
    [InlineData(4)]
    [InlineData(64)]
    public void Noise_falls_with_the_square_root_of_the_average(int conversions)
    {
        var options = new SimulatedRigOptions { HumVolts = 0, NoiseVolts = 8e-3 };
        var host = Host.Warm(options);
        host.Start(Host.Count(100, conversions), [host.Drive(-10, -10, 2_000)], mask: 1);
        host.RunToEnd();
        var plate = host.Blocks.Volts(options, RigChannel.Plate);
        var mean = plate.Average();
        var deviation = Math.Sqrt(plate.Sum(v => (v - mean) * (v - mean)) / (plate.Length - 1));
        var expected = Math.Sqrt((Math.Pow(options.NoiseVolts, 2) + Math.Pow(0.01, 2) / 12) / conversions);
        // Relative standard deviation of a standard deviation of 2000 readings: 1/sqrt(2 * 1999) = 1.6 %; five of them.
        Assert.InRange(deviation / expected, 0.92, 1.08);
    }

    [Fact]
    public void A_channel_at_the_end_of_its_range_is_flagged()
    {
        var host = Host.Warm(rail: 28);
        host.Start(Host.Count(100, 4), [host.Drive(-10, -10, 3)]);
        host.RunToEnd();
        Assert.DoesNotContain(host.Blocks.Flags(), f => f.HasFlag(SampleFlags.Clipped));

        host.Blocks.Clear();
        host.Machine.Inject([new SimulatedFault.ChannelStuck(RigChannel.Plate, 4095)]);
        host.Start(Host.Count(100, 4), [host.Drive(-10, -10, 3)]);
        host.RunToEnd();
        Assert.All(host.Blocks.Flags(), f => Assert.True(f.HasFlag(SampleFlags.Clipped)));
        Assert.All(host.Blocks.SelectMany(b => b.Codes[0]), c => Assert.Equal(4095 * 16, c));
    }

    [Fact]
    public void The_spread_is_that_of_the_plate_conversions()
    {
        var quiet = Host.Warm(new() { NoiseVolts = 0, HumVolts = 0 });
        quiet.Start(Host.Count(500, 16), [quiet.Drive(-10, -10, 5)]);
        quiet.RunToEnd();
        Assert.All(quiet.Blocks.SelectMany(b => b.Spread), s => Assert.Equal(0, s));
        var noisy = Host.Warm(new() { NoiseVolts = 20e-3, HumVolts = 0 });
        noisy.Start(Host.Count(500, 16), [noisy.Drive(-10, -10, 5)]);
        noisy.RunToEnd();
        Assert.All(noisy.Blocks.SelectMany(b => b.Spread), s => Assert.InRange(s, 2, 20));
    }

    [Fact]
    public void A_cathode_warms_with_its_time_constant_and_conducts_only_when_it_is_warm()
    {
        var host = new Host(new() { HumVolts = 0 });
        host.Send(new Hello(7));
        host.Send(new SweepRig.Rigs.Link.Messages.Release(1));
        host.Send(new SweepRig.Rigs.Link.Messages.Supplies(SupplySwitches.Heater | SupplySwitches.PlateRail, 0, Host.HeaterMicrovolts, 28_000_000));
        double Plate()
        {
            host.Blocks.Clear();
            host.Start(Host.Count(500, 64), [host.Drive(0, 0, 1)]);
            host.RunToEnd();
            return host.Blocks.Volts(host.Options, RigChannel.Plate).Single();
        }
        host.Hold(100_000);
        Assert.Equal(100u, host.Latest.HeaterOnForMilliseconds);
        Assert.InRange(Plate(), 27.9, 28.1);
        host.Hold(8_000_000 - host.Machine.Now);
        // One time constant: 293 K + (1050 - 293) K (1 - 1/e) = 772 K, where under a hundredth of the emission is there.
        Assert.InRange(host.Machine.CathodeKelvin, 768, 776);
        double Resting() =>
            new FixtureSolver(Pentode).Solve(TubeModel.AtTemperature(ExampleTubes.Sound6AU6, host.Machine.CathodeKelvin), 0).Plate;
        var before = Resting();
        var plate = Plate();
        Assert.InRange(plate, Resting() - 0.02, before + 0.02);
        Assert.InRange(plate, 20, 24);
        host.Hold(52_000_000);
        Assert.InRange(host.Machine.CathodeKelvin, 1049, 1050);
        var exact = new FixtureSolver(Pentode).Solve(new TubeModel(ExampleTubes.Sound6AU6, new Volts(6.3)), 0);
        Assert.Equal(exact.Plate, Plate(), 0.02);
    }

    [Fact]
    public void An_empty_socket_passes_nothing()
    {
        var options = new SimulatedRigOptions { Tubes = [ExampleTubes.Sound6AU6, null] };
        var host = Host.Warm(options, socket: 1);
        host.Start(Host.Count(500, 64), [host.Drive(-10, 10, 5)]);
        host.RunToEnd();
        Assert.All(host.Blocks.Volts(options, RigChannel.Plate), v => Assert.Equal(28, v, 0.01));
        Assert.Equal(10, host.Blocks.Volts(options, RigChannel.Grid)[^1], 0.02);
    }

    [Fact]
    public void Options_out_of_range_are_all_named()
    {
        var bad = new SimulatedRigOptions { HeaterSpeed = 0, LeaseMilliseconds = 2_000, Tubes = [ExampleTubes.Sound6AU6 with { Perveance = double.NaN }] };
        var message = Assert.Throws<ArgumentException>(() => new Host(bad)).Message;
        Assert.Contains("HeaterSpeed is 0", message, StringComparison.Ordinal);
        Assert.Contains("LeaseMilliseconds is 2000", message, StringComparison.Ordinal);
        Assert.Contains("Socket 0: /perveance", message, StringComparison.Ordinal);
    }
}
