using SweepRig.Domain;
using SweepRig.Sweeps.Rounds;

namespace SweepRig.Sweeps.Tests.Rounds;

public sealed class RoundTests
{
    [Fact]
    public void Whatever_hands_and_rig_do_every_tube_is_swept_and_none_is_in_two_places()
    {
        for (var seed = 0; seed < 300; seed++)
        {
            var random = new Random(seed);
            var round = PlayedRound.Sure(Round.Begin(PlayedRound.Setup(random.Next(1, 6), random.Next(1, 15), random.Next(0, 4))));
            var at = TimeSpan.Zero;
            var swept = new List<string>();
            for (var turn = 0; !round.IsFinished; turn++)
            {
                Assert.True(turn < 20_000, $"seed {seed}: the round does not come to its end");
                at += TimeSpan.FromSeconds(random.NextDouble());
                var happened = Something(round, at, random, swept);
                var after = round.After(happened, at);
                if (after.IsAccepted) round = PlayedRound.Sure(after.Value);
                else Assert.All(after.Refusals, r => Assert.NotEqual("", r.Remedy));
            }
            Assert.Equal(swept.Order(), round.Results.Select(r => r.Tube.Label).Order());
            Assert.Equal(round.Setup.Tubes.Select(t => t.Label).Order(), swept.Order());
        }
    }

    // Sound and unsound acts alike; only what the rig does follows from what the round says is due.
    private static RoundEvent Something(Round round, TimeSpan at, Random random, List<string> swept)
    {
        var any = round.Setup.Tubes[random.Next(round.Setup.Tubes.Count)].Label;
        var socket = random.Next(-1, round.Setup.Sockets.Count + 1);
        var judging = round.Seats.Values.FirstOrDefault(s => s.Phase == SeatPhase.Judging);
        var doubted = round.Seats.Values.FirstOrDefault(s => s.Phase == SeatPhase.Doubted);
        switch (random.Next(12))
        {
            case 0: return new RoundEvent.Named(any);
            case 1: return new RoundEvent.Placed(random.Next(2) == 0 ? null : socket);
            case 2: return new RoundEvent.Pulled(socket);
            case 3: return random.Next(6) == 0 ? new RoundEvent.HeatersOff() : new RoundEvent.HeatersOn();
            case 4: return random.Next(6) == 0 ? new RoundEvent.Held("the bench has tripped") : new RoundEvent.Freed();
            case 5 when judging is not null && random.Next(3) == 0: return new RoundEvent.Doubted(judging.Socket, new("it conducts too early", ["6BH6"]));
            case 6 when doubted is not null:
                swept.Add(doubted.Tube.Label);
                return new RoundEvent.TypeSettled(doubted.Socket, "6BH6", "good");
            case 7 when judging is not null:
                swept.Add(judging.Tube.Label);
                return new RoundEvent.Judged(judging.Socket, "good");
            case 8 or 9 when round.Due(at) is { } due: return new RoundEvent.SweepBegan(due.Socket, "run");
            case 10 or 11 when round.Sweeping is { } sweeping: return new RoundEvent.SweepEnded(sweeping.Socket, random.Next(4) == 0);
            default: return new RoundEvent.Placed(null);
        }
    }

    [Fact]
    public void A_tube_is_swept_only_when_it_has_been_hot_in_its_socket_for_the_whole_warm_up()
    {
        var round = Round.Begin(PlayedRound.Setup(2, 3, 40));
        round = Then(round, new RoundEvent.Placed(null), 0);
        Assert.Null(round.Due(S(1000)));
        round = Then(round, new RoundEvent.HeatersOn(), 10);
        round = Then(round, new RoundEvent.Placed(null), 30);
        Assert.Null(round.Due(S(49.9)));
        Assert.Equal(0, round.Due(S(50))!.Socket);
        // The heaters have been on since 10 s; the second tube has been in its socket since 30 s.
        Assert.Equal(S(70), round.WarmAt(round.Seats[1]));
        var one = Then(round, new RoundEvent.SweepBegan(0, "run"), 50);
        one = Then(Then(one, new RoundEvent.SweepEnded(0, Void: false), 51), new RoundEvent.Judged(0, "good"), 51);
        Assert.Null(one.Due(S(69.9)));
        Assert.Equal(1, one.Due(S(70))!.Socket);
        // Heaters that went off make everything cold.
        round = Then(Then(round, new RoundEvent.HeatersOff(), 49), new RoundEvent.HeatersOn(), 60);
        Assert.Null(round.Due(S(99.9)));
        Assert.Equal(S(100), round.NextWarmAt);
        Assert.Equal("SKUA-001", round.Due(S(100))!.Tube.Label);
    }

    [Fact]
    public void A_tube_cannot_be_in_two_sockets()
    {
        var round = Then(Round.Begin(PlayedRound.Setup(2, 3, 40)), new RoundEvent.Placed(null), 5);
        var refusal = Refused(round, new RoundEvent.Named("SKUA-001"));
        Assert.Equal("tube-in-two-sockets", refusal.Code);
        Assert.Contains("for socket 1", refusal.Asked, StringComparison.Ordinal);
        Assert.Contains("socket 0", refusal.Allowed, StringComparison.Ordinal);
        Assert.Contains("pull s0", refusal.Remedy, StringComparison.Ordinal);

        // It really moved: pulled, named, placed anew, and its warm-up begins anew.
        round = Then(round, new RoundEvent.Pulled(0), 20);
        round = Then(Then(round, new RoundEvent.Named("SKUA-001"), 21), new RoundEvent.Placed(1), 22);
        Assert.Equal(S(22), round.Seats[1].SeatedAt);
        Assert.DoesNotContain(0, round.Seats.Keys);
    }

    [Fact]
    public void A_socket_holds_one_tube()
    {
        var round = Then(Round.Begin(PlayedRound.Setup(2, 3, 40)), new RoundEvent.Placed(0), 5);
        var taken = Refused(round, new RoundEvent.Placed(0));
        Assert.Equal("socket-taken", taken.Code);
        Assert.Contains("SKUA-001 is there", taken.Allowed, StringComparison.Ordinal);
        Assert.Equal("socket-unknown", Refused(round, new RoundEvent.Placed(2)).Code);
        round = Then(round, new RoundEvent.Placed(1), 8);
        Assert.Null(round.Next);
        Assert.Equal("nothing-to-place", Refused(round, new RoundEvent.Placed(null)).Code);
    }

    [Fact]
    public void What_is_asked_for_stays_while_a_hand_is_on_its_way()
    {
        var round = Then(Round.Begin(PlayedRound.Setup(3, 6, 1)), new RoundEvent.HeatersOn(), 0);
        for (var i = 0; i < 3; i++) round = Then(round, new RoundEvent.Placed(null), i);
        round = Swept(round, 1, 10);
        Assert.Equal((1, "SKUA-004"), (round.Next!.Socket, round.Next.Tube.Label));
        round = Swept(round, 0, 20);
        Assert.Equal(1, round.Next!.Socket);
        // Another tube came to hand first: it goes where the hand was sent.
        round = Then(round, new RoundEvent.Named("SKUA-006"), 21);
        Assert.Equal((1, "SKUA-006"), (round.Next!.Socket, round.Next.Tube.Label));
        round = Then(round, new RoundEvent.Placed(null), 22);
        Assert.Equal((0, "SKUA-004"), (round.Next!.Socket, round.Next.Tube.Label));
    }

    [Fact]
    public void A_sweep_that_says_nothing_of_its_tube_is_made_again_without_another_warm_up()
    {
        var round = Then(Then(Round.Begin(PlayedRound.Setup(1, 1, 5)), new RoundEvent.HeatersOn(), 0), new RoundEvent.Placed(null), 0);
        round = Then(Then(round, new RoundEvent.SweepBegan(0, "a"), 5), new RoundEvent.Held("the cable is out"), 6);
        round = Then(round, new RoundEvent.SweepEnded(0, Void: true), 6);
        Assert.Null(round.Due(S(7)));
        round = Then(round, new RoundEvent.Freed(), 8);
        Assert.Equal(0, round.Due(S(8))!.Socket);
        Assert.Empty(round.Sweeps);
    }

    [Fact]
    public void A_tube_can_be_put_aside_and_swept_again()
    {
        var round = Then(Then(Round.Begin(PlayedRound.Setup(1, 2, 0)), new RoundEvent.HeatersOn(), 0), new RoundEvent.PutAside("SKUA-001", "bent pin"), 1);
        Assert.Equal("put aside: bent pin", round.Results[0].Verdict);
        Assert.Equal("tube-done", Refused(round, new RoundEvent.Named("SKUA-001")).Code);
        round = Swept(Then(round, new RoundEvent.Placed(null), 2), 0, 3);
        Assert.True(round.IsFinished);
        round = Then(round, new RoundEvent.Again("SKUA-002"), 9);
        Assert.False(round.IsFinished);
        round = Then(Swept(round, 0, 10), new RoundEvent.Again("SKUA-001"), 11);
        round = Swept(Then(round, new RoundEvent.Placed(null), 12), 0, 13);
        Assert.Equal(["SKUA-001", "SKUA-002", "SKUA-002", "SKUA-001"], round.Results.Select(r => r.Tube.Label));
    }

    [Fact]
    public void A_setup_is_refused_with_every_fault()
    {
        var setup = PlayedRound.Setup(1, 1, 1);
        var codes = (setup with { Sockets = [0, 0, 4], Tubes = [setup.Tubes[0], setup.Tubes[0]] }).Faults(4).Select(r => r.Code);
        Assert.Equal(["socket-unknown", "socket-twice", "tube-twice"], codes);
        Assert.Equal(["no-sockets", "no-tubes"], (setup with { Sockets = [], Tubes = [] }).Faults(4).Select(r => r.Code));
    }

    [Theory]
    [InlineData("", typeof(RoundEvent.Placed))]
    [InlineData("  ", typeof(RoundEvent.Placed))]
    [InlineData("s1", typeof(RoundEvent.Placed))]
    [InlineData("skua-003\t", typeof(RoundEvent.Named))]
    [InlineData("3", typeof(RoundEvent.Named))]
    [InlineData("Pull S0", typeof(RoundEvent.Pulled))]
    [InlineData("aside 2 cracked", typeof(RoundEvent.PutAside))]
    [InlineData("again SKUA-001", typeof(RoundEvent.Again))]
    public void Lines_are_read_as_they_are_meant(string line, Type expected)
    {
        var read = RoundEntry.Read(line, Round.Begin(PlayedRound.Setup(2, 3, 1)));
        Assert.IsType(expected, Assert.IsType<RoundEntry.Happened>(read.Value).Event);
    }

    [Theory]
    [InlineData("7", "tube-not-in-round")]
    [InlineData("pull", "not-understood")]
    [InlineData("pull 2", "not-understood")]
    [InlineData("type", "not-understood")]
    [InlineData("a\u0007b", "not-understood")]
    public void A_line_that_means_nothing_is_told(string line, string code) =>
        Assert.Equal(code, Assert.Single(RoundEntry.Read(line, Round.Begin(PlayedRound.Setup(2, 3, 1))).Refusals).Code);

    private static TimeSpan S(double seconds) => TimeSpan.FromSeconds(seconds);

    private static Round Then(Round round, RoundEvent happened, double at)
    {
        var after = round.After(happened, S(at));
        Assert.True(after.IsAccepted, string.Join(" ", after.Refusals));
        return PlayedRound.Sure(after.Value);
    }

    private static Round Swept(Round round, int socket, double at) => Then(
        Then(Then(round, new RoundEvent.SweepBegan(socket, "run"), at), new RoundEvent.SweepEnded(socket, Void: false), at + 1), new RoundEvent.Judged(socket, "good"), at + 1);

    private static Refusal Refused(Round round, RoundEvent happened) => Assert.Single(round.After(happened, S(60)).Refusals);
}
