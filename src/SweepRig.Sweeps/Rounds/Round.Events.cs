using SweepRig.Domain;

namespace SweepRig.Sweeps.Rounds;

/// <content>From one state to the next.</content>
public sealed partial record Round
{
    /// <returns>The round after it, or the reason why it cannot be; then nothing has changed.</returns>
    /// <exception cref="InvalidOperationException">The rig did what this round did not ask of it.</exception>
    public Outcome<Round> After(RoundEvent happened, TimeSpan at)
    {
        ArgumentNullException.ThrowIfNull(happened);
        var after = happened switch
        {
            RoundEvent.Named named => Name(named.Label),
            RoundEvent.Placed placed => Place(placed.Socket, at),
            RoundEvent.Pulled pulled => Pull(pulled.Socket),
            RoundEvent.PutAside aside => PutAside(aside.Label, aside.Why, at),
            RoundEvent.Again again => Again(again.Label),
            RoundEvent.HeatersOn => Yes(this with { HeatersSince = HeatersSince ?? at }),
            RoundEvent.HeatersOff => Yes(this with { HeatersSince = null }),
            RoundEvent.SweepBegan began => Yes(Changed(Sure(began.Socket, SeatPhase.Heating) with { Phase = SeatPhase.Sweeping, RunId = began.RunId }) with { SweepBeganAt = at }),
            RoundEvent.SweepEnded ended => Yes(Ended(Sure(ended.Socket, SeatPhase.Sweeping), ended.Void, at)),
            RoundEvent.Judged judged => Yes(Done(Sure(judged.Socket, SeatPhase.Judging), judged.Verdict, at)),
            RoundEvent.Doubted doubted => Yes(Changed(Sure(doubted.Socket, SeatPhase.Judging) with { Phase = SeatPhase.Doubted, Doubt = doubted.Doubt })),
            RoundEvent.TypeSettled settled => Settle(settled, at),
            RoundEvent.Held held => Yes(this with { HeldBecause = held.Why, NeedsRelease = held.NeedsRelease }),
            RoundEvent.Freed => Yes(this with { HeldBecause = null, NeedsRelease = false }),
            _ => throw new InvalidOperationException($"SweepRig bug: a round does not know {happened.GetType().Name}."),
        };
        return after.IsAccepted ? Yes(after.Value.Ask(at)) : after;
    }

    private Outcome<Round> Name(string label)
    {
        if (SeatOf(label) is { } seat) return No(SeatRefusal(seat));
        if (Waiting.Find(t => t.Label == label) is { } tube)
        {
            var sooner = this with { Waiting = Waiting.Remove(tube).Insert(0, tube) };
            return Yes(Next is { } next ? sooner with { Next = next with { Tube = tube } } : sooner);
        }
        if (Results.FindLast(r => r.Tube.Label == label) is { } done)
            return No(new("tube-done", "/tube", $"{label} was named", $"this round is done with it: {done.Verdict}", $"Read the number again, or say again {label} to sweep it once more."));
        return No(new("tube-not-in-round", "/tube", $"{label} was named", $"it is not among the {Setup.Tubes.Count} tubes of this round", "Read the number again, or begin a round with that tube."));
    }

    private Refusal SeatRefusal(Seat seat) => seat.Phase == SeatPhase.Done
        ? new("tube-done", "/tube", $"{seat.Tube.Label} was named", $"it has been swept and is in socket {seat.Socket}", $"Read the number again, or say again {seat.Tube.Label} to sweep it once more.")
        : new("tube-in-two-sockets", "/tube", $"{seat.Tube.Label} was named{(Next is { } next ? $" for socket {next.Socket}" : "")}", $"it is in socket {seat.Socket}",
            $"Read the number again. If it is this tube and it left that socket, say pull s{seat.Socket} first; if two tubes bear one number, put one aside and book it in under another.");

    private Outcome<Round> Place(int? asked, TimeSpan at)
    {
        if (Next is not { } next)
        {
            return No(new("nothing-to-place", "/socket", "a tube was said to be in its socket",
                Waiting.IsEmpty ? "no tube of this round waits" : "no socket has room", Waiting.IsEmpty ? "Nothing needs to be done." : "Wait until a socket is done with."));
        }
        var socket = asked ?? next.Socket;
        if (!Setup.Sockets.Contains(socket))
            return No(new("socket-unknown", "/socket", $"{next.Tube.Label} was said to be in socket {socket}", $"this round has sockets {string.Join(", ", Setup.Sockets)}", $"Put it into socket {next.Socket}."));
        if (!HasRoom(socket))
        {
            return No(new("socket-taken", "/socket", $"{next.Tube.Label} was said to be in socket {socket}", $"{Seats[socket].Tube.Label} is there and {(Seats[socket].Phase == SeatPhase.Doubted ? "asked about" : "not swept yet")}",
                $"Put it into socket {next.Socket}; or, if {Seats[socket].Tube.Label} is out of there, say pull s{socket} first."));
        }
        return Yes(this with
        {
            Waiting = Waiting.Remove(next.Tube),
            Seats = Seats.SetItem(socket, new(socket, next.Tube, at)),
            Handlings = Handlings.Add(at - next.AskedAt),
            Next = null,
        });
    }

    private Outcome<Round> Pull(int socket)
    {
        if (!Seats.TryGetValue(socket, out var seat))
            return No(new("socket-empty", "/socket", $"socket {socket} was said to be emptied", "nothing is in it", "Check the number of the socket."));
        if (seat.Phase is not (SeatPhase.Heating or SeatPhase.Done)) return No(Busy(seat, "pull it"));
        var without = this with { Seats = Seats.Remove(socket) };
        return Yes(seat.Phase == SeatPhase.Done ? without : without with { Waiting = Waiting.Insert(0, seat.Tube) });
    }

    private Outcome<Round> PutAside(string label, string why, TimeSpan at)
    {
        if (Waiting.Find(t => t.Label == label) is { } tube)
            return Yes(this with { Waiting = Waiting.Remove(tube), Results = Results.Add(new(tube, null, $"put aside: {why}", at)) });
        if (SeatOf(label) is not { } seat) return Name(label);
        if (seat.Phase is not (SeatPhase.Heating or SeatPhase.Doubted)) return No(seat.Phase == SeatPhase.Done ? SeatRefusal(seat) : Busy(seat, "put it aside"));
        return Yes(this with { Seats = Seats.Remove(seat.Socket), Results = Results.Add(new(seat.Tube, seat.RunId, $"put aside: {why}", at)) });
    }

    private Outcome<Round> Again(string label)
    {
        if (SeatOf(label) is { } seat)
        {
            return seat.Phase is SeatPhase.Done or SeatPhase.Doubted
                ? Yes(Changed(seat with { Phase = SeatPhase.Heating, RunId = null, Doubt = null, SweptAt = null, DoneAt = null }))
                : No(Busy(seat, "sweep it again"));
        }
        if (Waiting.Exists(t => t.Label == label)) return No(new("tube-waits", "/tube", $"{label} is to be swept again", "it has not been swept yet", "Nothing needs to be done."));
        return Results.FindLast(r => r.Tube.Label == label) is { } done ? Yes(this with { Waiting = Waiting.Insert(0, done.Tube) }) : Name(label);
    }

    private Outcome<Round> Settle(RoundEvent.TypeSettled settled, TimeSpan at) =>
        Seats.TryGetValue(settled.Socket, out var seat) && seat.Phase == SeatPhase.Doubted
            ? Yes(Done(seat with { Tube = seat.Tube with { TypeName = settled.TypeName } }, settled.Verdict, at))
            : No(new("nothing-asked", "/socket", $"the type of the tube in socket {settled.Socket} was told", "nothing is asked about it", "Nothing needs to be done."));

    private Round Ended(Seat seat, bool isVoid, TimeSpan at) => isVoid
        ? Changed(seat with { Phase = SeatPhase.Heating, RunId = null })
        : Changed(seat with { Phase = SeatPhase.Judging, SweptAt = at }) with { Sweeps = Sweeps.Add(at - SweepBeganAt) };

    private Round Done(Seat seat, string verdict, TimeSpan at) =>
        Changed(seat with { Phase = SeatPhase.Done, Doubt = null, DoneAt = at }) with { Results = Results.Add(new(seat.Tube, seat.RunId, verdict, seat.SweptAt ?? at)) };

    private Round Changed(Seat seat) => this with { Seats = Seats.SetItem(seat.Socket, seat) };

    private static Refusal Busy(Seat seat, string what) => seat.Phase switch
    {
        SeatPhase.Heating => new("tube-waits", "/tube", $"{seat.Tube.Label} in socket {seat.Socket}: {what}", "it has not been swept yet", "Nothing needs to be done."),
        SeatPhase.Doubted => new("tube-doubted", "/tube", $"{seat.Tube.Label} in socket {seat.Socket}: {what}", "its type is asked about", "Answer that first."),
        _ => new("tube-being-swept", "/tube", $"{seat.Tube.Label} in socket {seat.Socket}: {what}", "it is being swept", "Wait for the end of its sweep; if it is out already, make the bench safe."),
    };

    private Seat Sure(int socket, SeatPhase phase) => Seats.TryGetValue(socket, out var seat) && seat.Phase == phase
        ? seat
        : throw new InvalidOperationException($"SweepRig bug: socket {socket} is {(seat is null ? "empty" : seat.Phase)} where {phase} was due.");

    private static Outcome<Round> Yes(Round round) => Outcome<Round>.Accept(round);

    private static Outcome<Round> No(Refusal refusal) => Outcome<Round>.Refuse(refusal);
}
