using SweepRig.Sweeps.Rounds;

namespace SweepRig.Sweeps.Tests.Rounds;

/// <summary>The bound against orders found by trying all of them, and the round against the bound.</summary>
public sealed class RoundPaceTests
{
    public static TheoryData<int, int, int, int> Benches
    {
        get
        {
            var benches = new TheoryData<int, int, int, int>();
            foreach (var sockets in new[] { 1, 2, 4, 8 })
                foreach (var (warm, sweep, handling) in new[] { (40, 5, 8), (40, 12, 3), (20, 30, 10), (10, 3, 15), (0, 5, 5), (40, 7, 0) }) benches.Add(sockets, warm, sweep, handling);
            return benches;
        }
    }

    [Theory]
    [MemberData(nameof(Benches))]
    public void A_round_takes_the_least_time_there_is(int sockets, int warm, int sweep, int handling)
    {
        var pace = Pace(sockets, warm, sweep, handling);
        foreach (var tubes in new[] { 1, 2, 3, 7, 12, 60 })
        {
            var round = PlayedRound.Through(pace, tubes);
            Assert.Equal(pace.Least(tubes), round.Results[^1].At);
            Assert.Equal(tubes, round.Results.Select(r => r.Tube.Label).Distinct().Count());
            Assert.Equal(tubes, round.Results.Count);
        }
    }

    [Theory]
    [InlineData(1, 4, 2, 1)]
    [InlineData(2, 4, 2, 1)]
    [InlineData(2, 3, 1, 2)]
    [InlineData(3, 5, 1, 1)]
    [InlineData(2, 0, 3, 2)]
    [InlineData(3, 2, 3, 1)]
    public void No_order_of_placing_and_sweeping_is_faster(int sockets, int warm, int sweep, int handling)
    {
        for (var tubes = 1; tubes <= 5; tubes++)
            Assert.Equal(AllOrders.Least(tubes, sockets, warm, sweep, handling), Pace(sockets, warm, sweep, handling).Least(tubes).TotalSeconds);
    }

    [Theory]
    [MemberData(nameof(Benches))]
    public void A_long_round_comes_to_the_bound_in_tubes_per_hour_and_never_above(int sockets, int warm, int sweep, int handling)
    {
        var pace = Pace(sockets, warm, sweep, handling);
        var hundred = pace.Least(400) - pace.Least(200);
        Assert.Equal(pace.TubesPerHour, 200 * 3600 / hundred.TotalSeconds, pace.TubesPerHour * 0.02);
        for (var tubes = 1; tubes < 50; tubes++) Assert.True(tubes * 3600 / pace.Least(tubes).TotalSeconds <= pace.TubesPerHour * (1 + 1e-9));
    }

    [Theory]
    // By hand: four sockets, 40 s warm, 5 s sweep, 8 s hand: 4 in 53 s, which is 271.7 an hour.
    [InlineData(4, 40, 5, 8, PaceLimit.WarmUp, 271.698)]
    [InlineData(8, 40, 5, 8, PaceLimit.Handling, 450)]
    [InlineData(8, 20, 30, 10, PaceLimit.Sweep, 120)]
    public void What_a_round_waits_for(int sockets, int warm, int sweep, int handling, PaceLimit limit, double perHour)
    {
        var pace = Pace(sockets, warm, sweep, handling);
        Assert.Equal(limit, pace.LimitedBy);
        Assert.Equal(perHour, pace.TubesPerHour, 0.001);
    }

    private static RoundPace Pace(int sockets, int warm, int sweep, int handling) =>
        new(sockets, TimeSpan.FromSeconds(warm), TimeSpan.FromSeconds(sweep), TimeSpan.FromSeconds(handling));

    /// <summary>The shortest of all schedules in whole seconds: at each second hand and rig may each begin or wait, and any tube may be chosen. Breadth first over all states.</summary>
    private static class AllOrders
    {
        public static int Least(int tubes, int sockets, int warm, int sweep, int handling)
        {
            // A state: tubes not begun, seconds left of the hand (-1 idle), seconds left of the rig (-1 idle), warm-up left of each tube in a socket, in order.
            HashSet<State> now = [new(tubes, -1, -1, 0, "")];
            for (var second = 0; ; second++)
            {
                HashSet<State> next = [];
                foreach (var state in now)
                {
                    foreach (var choice in Choices(state, sockets, warm, sweep, handling))
                    {
                        if (choice.Swept == tubes) return second;
                        next.Add(Tick(choice));
                    }
                }
                now = next;
            }
        }

        // Ends first, then all ways to begin something.
        private static IEnumerable<State> Choices(State state, int sockets, int warm, int sweep, int handling)
        {
            if (state.Rig == 0) state = state with { Rig = -1, Swept = state.Swept + 1 };
            if (state.Hand == 0) state = Placed(state, warm);
            List<State> hands = [state];
            var inSockets = state.Warming.Length + (state.Rig > 0 ? 1 : 0);
            if (state.Hand < 0 && state.Left > 0 && inSockets < sockets) hands.Add(state with { Left = state.Left - 1, Hand = handling });
            foreach (var hand in hands)
            {
                yield return hand;
                if (hand.Rig >= 0) continue;
                foreach (var at in hand.Warming.Select((c, i) => (c, i)).Where(w => w.c == 0).Select(w => w.i))
                    yield return hand with { Rig = sweep, Warming = hand.Warming.Remove(at, 1) };
            }
        }

        private static State Placed(State state, int warm) => state with { Hand = -1, Warming = string.Concat((state.Warming + (char)warm).Order()) };

        private static State Tick(State state) => state with
        {
            Hand = state.Hand > 0 ? state.Hand - 1 : state.Hand,
            Rig = state.Rig > 0 ? state.Rig - 1 : state.Rig,
            Warming = string.Concat(state.Warming.Select(c => (char)Math.Max(0, c - 1))),
        };

        private readonly record struct State(int Left, int Hand, int Rig, int Swept, string Warming);
    }
}
