using CsCheck;
using SweepRig.Sweeps.Running;

namespace SweepRig.Sweeps.Tests.Running;

public sealed class ClockTests
{
    [Fact]
    public void The_smallest_delay_gives_the_offset()
    {
        var map = new RigClockMap();
        foreach (var (rig, delay) in new[] { (1_000L, 900.0), (2_000L, 120.0), (3_000L, 5_000.0) }) map.Observe(rig, rig + 70_000 + delay);
        Assert.Equal(2_500 + 70_000 + 120, map.ToHostMicroseconds(2_500));
    }

    [Fact]
    public void It_follows_a_crystal_that_drifts() =>
        Gen.Select(Gen.Double[-100e-6, 100e-6], Gen.Double[50, 2000].Array[3000]).Sample((drift, delays) =>
        {
            var map = new RigClockMap();
            for (var i = 0; i < delays.Length; i++)
            {
                var rig = i * 100_000L;
                map.Observe(rig, rig * (1 + drift) + 5e6 + delays[i]);
            }
            var last = (delays.Length - 1) * 100_000L;
            var error = map.ToHostMicroseconds(last) - (last * (1 + drift) + 5e6);
            // At most two windows of 30 s of drift early, the largest delay late.
            return error >= -60e6 * 100e-6 - 1 && error <= 2000;
        });

    [Fact]
    public void A_restart_begins_anew()
    {
        var map = new RigClockMap();
        map.Observe(5_000_000, 5_000_000);
        map.Reset();
        Assert.False(map.HasEstimate);
        map.Observe(0, 6_000_000);
        Assert.Equal(6_000_100, map.ToHostMicroseconds(100));
    }

    [Fact]
    public void A_wall_clock_set_back_does_not_set_back_the_steady_one()
    {
        var time = new TwoClocks();
        var clock = new HostClock(time);
        var start = clock.SteadyUtc();
        time.Monotonic += 10 * TimeSpan.TicksPerSecond;
        time.Wall -= TimeSpan.FromHours(1);
        Assert.Equal(start.AddSeconds(10), clock.SteadyUtc());
        // A computer that slept: the monotonic clock stood still, the wall clock went on.
        time.Wall = start.AddHours(2);
        Assert.Equal(start.AddHours(2), clock.SteadyUtc());
    }

    private sealed class TwoClocks : TimeProvider
    {
        public long Monotonic { get; set; } = 1_000_000;

        public DateTimeOffset Wall { get; set; } = new(2026, 3, 14, 9, 0, 0, TimeSpan.Zero);

        public override long TimestampFrequency => TimeSpan.TicksPerSecond;

        public override long GetTimestamp() => Monotonic;

        public override DateTimeOffset GetUtcNow() => Wall;
    }
}
