using SweepRig.Rigs.Control;

namespace SweepRig.Rigs.Tests.Simulated;

public class PositiveTimeTests
{
    [Fact]
    public void The_window_never_counts_less_than_the_last_minute_and_at_most_a_second_more()
    {
        var random = new Random(4);
        var positive = new PositiveTime();
        var intervals = new List<(long From, long To)>();
        long now = 0;
        for (var i = 0; i < 3_000; i++)
        {
            var on = random.Next(2) == 0;
            // Mostly short spells, now and then a pause of minutes.
            var spell = random.Next(50) == 0 ? random.NextInt64(200_000_000) : random.NextInt64(900_000);
            positive.Set(now, on);
            if (on) intervals.Add((now, now + spell));
            now += spell;
            var used = positive.Used(now);
            Assert.InRange(used, Within(now - 60_000_000), Within(now - 61_000_000));
        }

        long Within(long since) => intervals.Sum(x => Math.Max(0, x.To - Math.Max(x.From, since)));
    }
}
