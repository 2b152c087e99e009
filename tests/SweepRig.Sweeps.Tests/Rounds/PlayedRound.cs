using SweepRig.Domain.Tubes;
using SweepRig.Sweeps.Rounds;

namespace SweepRig.Sweeps.Tests.Rounds;

/// <summary>A round played through on a clock of its own: a hand that always takes the same time, a rig that always takes the same time, no waiting in between.</summary>
internal static class PlayedRound
{
    public static RoundSetup Setup(int sockets, int tubes, double warmSeconds) => new(
        [.. Enumerable.Range(0, sockets)], TimeSpan.FromSeconds(warmSeconds), [.. Enumerable.Range(1, tubes).Select(n => new Tube($"SKUA-{n:000}", "6AU6", "Skua"))]);

    /// <returns>The round at its end.</returns>
    public static Round Through(RoundPace pace, int tubes)
    {
        var round = Sure(Round.Begin(Setup(pace.Sockets, tubes, 0) with { WarmAfter = pace.WarmUp }).After(new RoundEvent.HeatersOn(), TimeSpan.Zero).Value!);
        var at = TimeSpan.Zero;
        TimeSpan? placedAt = null, sweptAt = null;
        while (!round.IsFinished)
        {
            if (placedAt is null && round.Next is not null) placedAt = at + pace.Handling;
            if (sweptAt is null && round.Due(at) is { } due)
            {
                round = Sure(round.After(new RoundEvent.SweepBegan(due.Socket, "run"), at).Value!);
                sweptAt = at + pace.Sweep;
            }
            var warmAt = sweptAt is null ? round.NextWarmAt : null;
            at = new[] { placedAt, sweptAt, warmAt }.Min() ?? throw new InvalidOperationException("The round stands still.");
            // The rig first: what it has done makes room for the hand.
            if (sweptAt == at && round.Sweeping is { } sweeping)
            {
                round = Sure(round.After(new RoundEvent.SweepEnded(sweeping.Socket, Void: false), at).Value!);
                round = Sure(round.After(new RoundEvent.Judged(sweeping.Socket, "good"), at).Value!);
                sweptAt = null;
            }
            if (placedAt == at)
            {
                round = Sure(round.After(new RoundEvent.Placed(null), at).Value!);
                placedAt = null;
            }
        }
        return round;
    }

    /// <summary>What holds of every round at every time.</summary>
    public static Round Sure(Round round)
    {
        var seated = round.Seats.Values.Select(s => s.Tube.Label).ToArray();
        Assert.Equal(seated.Length, seated.Distinct().Count());
        Assert.All(round.Seats, s => Assert.True(s.Key == s.Value.Socket && round.Setup.Sockets.Contains(s.Key)));
        Assert.True(round.Seats.Values.Count(s => s.Phase == SeatPhase.Sweeping) <= 1);
        var inSocketsAndWaiting = round.Waiting.Select(t => t.Label).Concat(round.Seats.Values.Where(s => s.Phase != SeatPhase.Done).Select(s => s.Tube.Label)).ToArray();
        Assert.Equal(inSocketsAndWaiting.Length, inSocketsAndWaiting.Distinct().Count());
        // Every tube is somewhere: it waits, is in a socket, or is done with.
        Assert.Equal(round.Setup.Tubes.Select(t => t.Label).Order(), inSocketsAndWaiting.Concat(round.Results.Select(r => r.Tube.Label)).Distinct().Order());
        if (round.Next is { } next)
        {
            Assert.Contains(next.Tube, round.Waiting);
            Assert.True(!round.Seats.TryGetValue(next.Socket, out var there) || there.Phase == SeatPhase.Done);
        }
        else
        {
            // Nobody is kept waiting while a socket has room and a tube waits.
            Assert.True(round.Waiting.IsEmpty || round.Setup.Sockets.All(s => round.Seats.TryGetValue(s, out var seat) && seat.Phase != SeatPhase.Done));
        }
        return round;
    }
}
