using SweepRig.Domain.Runs;

namespace SweepRig.Rigs.Tests.Simulated;

public class PassTimingTests
{
    [Theory]
    [InlineData(50, 1, 15)]
    [InlineData(2_000, 16, 31)]
    [InlineData(100, 7, 5)]
    [InlineData(0, 3, 1)]
    [InlineData(33, 256, 31)]
    public void A_point_takes_its_dwell_and_its_conversions_and_nothing_else(int dwell, int conversions, byte mask)
    {
        var host = Host.Warm();
        host.Hold(1);
        var begun = host.Machine.Now;
        host.Start(Host.Count(dwell, conversions), [host.Drive(-10, 4, 40)], mask);
        host.RunToEnd();

        var each = dwell + conversions * 16L * System.Numerics.BitOperations.PopCount(mask);
        Assert.Equal(Enumerable.Range(1, 40).Select(n => begun + n * each), host.Blocks.Times());
        Assert.Equal((begun + 40 * each, true), (host.Ends.Single().TimeMicroseconds, host.Ends.Single().Completed));
        Assert.Equal(host.Blocks.Count, host.Ends.Single().Frames);
        Assert.All(host.Blocks.SelectMany(b => b.AveragedCount), n => Assert.Equal(conversions, n));
    }

    // A mains period is 1/f: 20 000 us at 50 Hz, 16 666.67 us at 60 Hz.
    [Theory]
    [InlineData(1, 50, 20_000)]
    [InlineData(3, 50, 60_000)]
    [InlineData(1, 60, 16_667)]
    [InlineData(3, 60, 50_000)]
    public void Averaging_over_mains_periods_takes_exactly_those(int periods, int hertz, long span)
    {
        var host = Host.Warm();
        var begun = host.Machine.Now;
        host.Start(new(500, 1, periods, hertz, 0, 0), [host.Drive(-5, -1, 3)], mask: 0b01111);
        host.RunToEnd();

        Assert.Equal(Enumerable.Range(1, 3).Select(n => begun + n * (500 + span)), host.Blocks.Times());
        Assert.All(host.Blocks.SelectMany(b => b.AveragedCount), n => Assert.Equal(span / 64, n));
    }

    [Fact]
    public void The_settling_rule_adds_whole_conversions_and_says_when_it_gave_up()
    {
        // A plate that needs 400 us, and no noise: 2 codes of 10 mV are reached long after the first conversions.
        var slow = new SweepRig.Rigs.Simulated.SimulatedRigOptions { NoiseVolts = 0, HumVolts = 0, Settling = new() { PlateMicroseconds = 400 } };
        var host = Host.Warm(slow);
        host.Start(new(100, 4, 0, 0, 2, 20_000), [host.Drive(-10, 0, 2)]);
        host.RunToEnd();
        Assert.All(host.Blocks.Flags(), f => Assert.True(f.HasFlag(SampleFlags.Settled)));
        var times = host.Blocks.Times();
        var second = times[1] - times[0] - 100 - 4 * 5 * 16;
        Assert.Equal(0, second % 16);
        // 18 V towards rest: two readings 16 us apart differ by at most 25 mV (2 codes and rounding) once 18 V exp(-t/400) 16/400 is below it, that is after 1.3 to 1.6 ms.
        Assert.InRange(second, 1_100, 1_700);

        host.Blocks.Clear();
        host.Start(new(100, 4, 0, 0, 2, 200), [host.Drive(-10, 0, 2)]);
        host.RunToEnd();
        Assert.Equal([true, false], host.Blocks.Flags().Select(f => f.HasFlag(SampleFlags.Settled)));
        times = host.Blocks.Times();
        Assert.Equal(100 + 200 / 16 * 16 + 4 * 5 * 16, times[1] - times[0]);
    }

    [Fact]
    public void Points_measured_again_keep_their_numbers()
    {
        var host = Host.Warm();
        host.Start(Host.Count(100, 2), [host.Drive(-10, -9, 5, 100), host.Drive(-5, -5, 1, 7)]);
        host.RunToEnd();
        Assert.Equal([100, 101, 102, 103, 104, 7], host.Blocks.SelectMany(b => b.PointIndex).Select(p => (int)p));
    }

    [Fact]
    public void The_same_seed_gives_the_same_bytes()
    {
        byte[] Once(int seed)
        {
            var host = Host.Warm(new() { Seed = seed });
            host.Start(Host.Count(200, 4), [host.Drive(-14, 10, 100)]);
            host.RunToEnd();
            return [.. host.Wire];
        }
        Assert.Equal(Once(5), Once(5));
        Assert.NotEqual(Once(5), Once(6));
    }
}
