namespace SweepRig.Sweeps.Rounds;

/// <summary>How fast a round can be at best.</summary>
/// <remarks>
/// All tubes alike: a hand needs H for one tube (the old one out, the new one in), a tube needs W to get warm, the rig needs T for its sweep, and there are S sockets.
/// Over a long round no more tubes pass than the rig sweeps (one in T), the hand places (one in H), or the sockets let through (S in H + W + T): the least of
/// 1/T, 1/H and S/(H + W + T). For n tubes let P(k) be the end of the k-th placement and D(k) the end of the k-th sweep, in the order of time, whatever tube it was. One hand, one
/// rig and S sockets mean, for every order: P(k) is at least max(P(k-1), D(k-S)) + H, as the k-th placement needs room that k-S sweeps have made; D(k) is at least
/// max(P(k) + W, D(k-1)) + T, as k sweeps need k tubes that were placed a warm-up earlier. A round that places whenever there is room and sweeps whoever has been warm
/// longest meets both with equality, so it is the fastest there is. That recurrence of maxima and sums is the makespan of a cyclic flow shop with one transport
/// (Baccelli et al., Synchronization and Linearity, 1992, for max-plus recurrences; from memory).
/// </remarks>
/// <param name="Sockets">1 or more.</param>
/// <param name="WarmUp">W, 0 or more.</param>
/// <param name="Sweep">T, above 0.</param>
/// <param name="Handling">H, 0 or more.</param>
public sealed record RoundPace(int Sockets, TimeSpan WarmUp, TimeSpan Sweep, TimeSpan Handling)
{
    /// <summary>Bound of a long round.</summary>
    public double TubesPerHour => 3600 / Math.Max(Sweep.TotalSeconds, Math.Max(Handling.TotalSeconds, SocketCycle / Sockets));

    public PaceLimit LimitedBy
    {
        get
        {
            var sockets = SocketCycle / Sockets;
            if (sockets > Sweep.TotalSeconds && sockets > Handling.TotalSeconds) return PaceLimit.WarmUp;
            return Handling > Sweep ? PaceLimit.Handling : PaceLimit.Sweep;
        }
    }

    private double SocketCycle => (Handling + WarmUp + Sweep).TotalSeconds;

    /// <summary>Least time from the begin, sockets empty, to the end of the last sweep.</summary>
    /// <param name="tubes">0 or more.</param>
    public TimeSpan Least(int tubes)
    {
        var swept = new TimeSpan[tubes];
        var placed = TimeSpan.Zero;
        for (var k = 0; k < tubes; k++)
        {
            placed = Later(placed, k >= Sockets ? swept[k - Sockets] : TimeSpan.Zero) + Handling;
            swept[k] = Later(placed + WarmUp, k > 0 ? swept[k - 1] : TimeSpan.Zero) + Sweep;
        }
        return tubes == 0 ? TimeSpan.Zero : swept[^1];
    }

    private static TimeSpan Later(TimeSpan one, TimeSpan other) => one > other ? one : other;
}

/// <summary>What a long round waits for.</summary>
public enum PaceLimit
{
    /// <summary>Tubes getting warm: more sockets would help.</summary>
    WarmUp,

    /// <summary>The rig: a shorter sweep would help.</summary>
    Sweep,

    /// <summary>The hand.</summary>
    Handling,
}
