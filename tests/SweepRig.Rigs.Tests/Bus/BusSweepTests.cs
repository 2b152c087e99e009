using SweepRig.Domain;
using SweepRig.Domain.Quantities;
using SweepRig.Domain.Runs;
using SweepRig.Domain.Tubes;
using SweepRig.Rigs.Bus.Configuration;
using SweepRig.Rigs.Tests.Bus.Simulated;
using SweepRig.Tubes.Catalogue;
using SweepRig.Tubes.Fixture;
using SweepRig.Tubes.Model;

namespace SweepRig.Rigs.Tests.Bus;

/// <summary>Whole sweeps through the library's bindings, registers and a tube.</summary>
public class BusSweepTests
{
    [Theory]
    [InlineData(ConnectionKind.Pentode, -14, 0)]
    [InlineData(ConnectionKind.Triode, -14, 0)]
    [InlineData(ConnectionKind.Pentode, -14, 24)]
    [InlineData(ConnectionKind.Triode, -14, 24)]
    public async Task The_curve_is_that_of_the_tube_within_one_converter_step(ConnectionKind kind, double from, double to)
    {
        var bench = new BusBench(BusBench.Clamped);
        await using var rig = bench.MakeRig();
        await rig.MakeReadyAsync(bench);
        var blocks = await rig.SweepAsync(bench.Program(from, to, 77, kind));

        var solver = new FixtureSolver(new(kind, new(28), new(-14), new(6.3), new(10_000), new(100), new(4_700)));
        var tube = new TubeModel(ExampleTubes.Sound6AU6, new Volts(6.3));
        var scales = bench.Config.Channels.Select(c => c.Scale).ToArray();
        var points = new List<int>();
        foreach (var block in blocks)
        {
            for (var i = 0; i < block.Count; i++)
            {
                points.Add(block.PointIndex[i]);
                var drive = bench.Config.Drive.Scale.ToVolts(block.DriveCode[i]);
                var exact = solver.Solve(tube, drive);
                Near(RigChannel.Plate, exact.Plate);
                Near(RigChannel.Grid, exact.Grid);
                Near(RigChannel.Screen, exact.Screen);
                Near(RigChannel.Supply, 28);
                Near(RigChannel.Drive, drive);
                Assert.Equal(SampleFlags.Settled, block.Flags[i]);

                void Near(RigChannel channel, double volts)
                {
                    var scale = scales[(int)channel];
                    Assert.InRange(scale.ToVolts(block.Codes[(int)channel][i]), volts - scale.StepVolts, volts + scale.StepVolts);
                }
            }
        }
        Assert.Equal(Enumerable.Range(0, 77), points);
        Assert.True(bench.Dac.Output(0) == bench.SafeCode, "A pass ends with the drive at safe.");
        Assert.True(bench.RailOn, "and the supplies as they are.");
    }

    [Fact]
    public async Task A_point_takes_what_the_configuration_says()
    {
        var bench = new BusBench(BusBench.Example);
        await using var rig = bench.MakeRig();
        await rig.MakeReadyAsync(bench);
        var blocks = await rig.SweepAsync(bench.Program(-14, 0, 50, conversions: 4, dwell: 2_000));
        var times = blocks.SelectMany(b => b.SampledAtTicks).ToArray();
        // Dwell, 4 conversions of 5 channels, and room for one look at the supplies in 20 ms, the step and the wait for the first conversion.
        var floor = 2_000 + 20 * bench.Config.ConversionMicroseconds;
        for (var i = 1; i < times.Length; i++) Assert.InRange(times[i] - times[i - 1], floor * 0.8, floor * 1.3);
        Assert.All(blocks.SelectMany(b => b.AveragedCount), n => Assert.Equal(4, n));
    }

    [Theory]
    [InlineData(100, 0.9)]
    [InlineData(100, 1.1)]
    [InlineData(400, 1.1)]
    public async Task A_conversion_takes_no_longer_than_the_configuration_says(int kilohertz, double slowness)
    {
        var bench = new BusBench(BusBench.Example with { I2cKilohertz = kilohertz });
        bench.First.Slowness = slowness;
        bench.I2c.Kilohertz = kilohertz;
        await using var rig = bench.MakeRig();
        await rig.ConnectAsync();
        for (var i = 0; i < 50; i++) await rig.UntilAsync<RigEvent.Status>();
        Assert.True(bench.First.Conversions > 50);
        // From the end of the write that starts it; the write itself comes on top.
        var longest = bench.First.LongestMicroseconds + 4 * 9 * 1000 / kilohertz;
        Assert.InRange(longest, 1, BusTiming.ConversionMicroseconds(kilohertz));
    }

    [Fact]
    public async Task Settling_and_mains_averaging_work_as_on_any_rig()
    {
        var bench = new BusBench(BusBench.Example);
        await using var rig = bench.MakeRig();
        await rig.MakeReadyAsync(bench);
        var program = bench.Program(-6, -1, 10) with { Timing = new(500, 1, 2, 50, 4, 50_000) };
        var blocks = await rig.SweepAsync(program);
        Assert.All(blocks.SelectMany(b => b.Flags), f => Assert.True(f.HasFlag(SampleFlags.Settled)));
        // 40 ms hold as many rounds of five conversions as fit.
        Assert.All(blocks.SelectMany(b => b.AveragedCount), n => Assert.Equal(40_000 / (5 * bench.Config.ConversionMicroseconds), n));
    }
}
