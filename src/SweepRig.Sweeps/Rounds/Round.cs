using System.Collections.Immutable;
using SweepRig.Domain.Tubes;

namespace SweepRig.Sweeps.Rounds;

/// <summary>
/// Many tubes swept over a few sockets, as a state without clock or hardware. The heaters of all sockets are on together and the rig sweeps one socket at a time,
/// so while one tube is swept the others get warm. All times are since the round began.
/// </summary>
/// <remarks>
/// The rig takes the tube that has been warm longest; the operator is asked for a tube as soon as a socket has room. No order is faster, see <see cref="RoundPace"/>.
/// A tube counts as warm only when it has been in its socket, with the heaters on, for the whole warm-up: the rig's own clock knows the heater and not the tube.
/// </remarks>
public sealed partial record Round
{
    private Round(RoundSetup setup) => (Setup, Waiting) = (setup, [.. setup.Tubes]);

    public RoundSetup Setup { get; }

    /// <summary>Not in a socket yet, in the order in which they are asked for.</summary>
    public ImmutableList<Tube> Waiting { get; private init; }

    /// <summary>Tubes in sockets, by socket.</summary>
    public ImmutableSortedDictionary<int, Seat> Seats { get; private init; } = ImmutableSortedDictionary<int, Seat>.Empty;

    /// <summary>In the order in which they were done with.</summary>
    public ImmutableList<RoundResult> Results { get; private init; } = [];

    /// <summary>What the operator is to plug in next; null where no socket has room or no tube waits. Stays as it is until it is done or cannot be done.</summary>
    public Placement? Next { get; private init; }

    /// <summary>Since when the heaters are on; null while they are off.</summary>
    public TimeSpan? HeatersSince { get; private init; }

    /// <summary>Why nothing can be swept; null where something can.</summary>
    public string? HeldBecause { get; private init; }

    /// <summary>It is held by a trip, which only the operator releases.</summary>
    public bool NeedsRelease { get; private init; }

    /// <summary>How long each placement took, from when there was room for it.</summary>
    public ImmutableList<TimeSpan> Handlings { get; private init; } = [];

    /// <summary>How long each sweep took, from its begin until the rig was free.</summary>
    public ImmutableList<TimeSpan> Sweeps { get; private init; } = [];

    private TimeSpan SweepBeganAt { get; init; }

    /// <summary>The socket that is swept now.</summary>
    public Seat? Sweeping => Seats.Values.FirstOrDefault(s => s.Phase == SeatPhase.Sweeping);

    public bool IsFinished => Waiting.IsEmpty && Seats.Values.All(s => s.Phase == SeatPhase.Done);

    /// <param name="setup">Without <see cref="RoundSetup.Faults"/>.</param>
    public static Round Begin(RoundSetup setup)
    {
        ArgumentNullException.ThrowIfNull(setup);
        return new Round(setup).Ask(TimeSpan.Zero);
    }

    /// <summary>When a seat has been hot long enough; null while the heaters are off.</summary>
    public TimeSpan? WarmAt(Seat seat)
    {
        ArgumentNullException.ThrowIfNull(seat);
        return HeatersSince is { } since ? (seat.SeatedAt > since ? seat.SeatedAt : since) + Setup.WarmAfter : null;
    }

    /// <summary>What the rig is to sweep now: of the warm tubes the one that has been so longest; null for none.</summary>
    public Seat? Due(TimeSpan at) => HeldBecause is null && Sweeping is null
        ? Seats.Values.Where(s => s.Phase == SeatPhase.Heating && WarmAt(s) <= at).MinBy(s => (WarmAt(s), s.SeatedAt, s.Socket))
        : null;

    /// <summary>When the next tube will be warm, for a clock to wake by; null for none.</summary>
    public TimeSpan? NextWarmAt => Seats.Values.Where(s => s.Phase == SeatPhase.Heating).Min(WarmAt);

    /// <summary>Sockets that a tube may go into: empty ones first, then those done with, the longest first.</summary>
    private IEnumerable<int> Room => Setup.Sockets.Where(s => !Seats.ContainsKey(s)).Concat(
        Seats.Values.Where(s => s.Phase == SeatPhase.Done).OrderBy(s => s.DoneAt).Select(s => s.Socket));

    private Seat? SeatOf(string label) => Seats.Values.FirstOrDefault(s => s.Tube.Label == label);

    private bool HasRoom(int socket) => Setup.Sockets.Contains(socket) && (!Seats.TryGetValue(socket, out var seat) || seat.Phase == SeatPhase.Done);

    /// <summary>Keeps what is asked for as long as it can be done, so that a socket does not change its number while a hand is on its way there.</summary>
    private Round Ask(TimeSpan at)
    {
        if (Next is { } next && HasRoom(next.Socket) && Waiting.Contains(next.Tube)) return this;
        var room = Room.Select(s => (int?)s).FirstOrDefault();
        return this with { Next = room is { } socket && !Waiting.IsEmpty ? new(Waiting[0], socket, at) : null };
    }
}
