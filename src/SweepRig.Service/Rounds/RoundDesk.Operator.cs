using SweepRig.Domain;
using SweepRig.Domain.Stock;
using SweepRig.Storage;
using SweepRig.Sweeps.Rounds;
using SweepRig.Sweeps.Running;

namespace SweepRig.Service.Rounds;

/// <content>What the operator says.</content>
public sealed partial class RoundDesk
{
    private async Task<Outcome<RoundPicture>> BeginRoundAsync(RoundWish wish)
    {
        if (_picture is { IsOver: false } busy)
            return No(new("round-under-way", "", "a round was to be begun", $"one is under way: {busy.Round.Results.Count} of {busy.Round.Setup.Tubes.Count} tubes are done", "Go on with it, or end it first."));
        if (HasTheRig?.Invoke() is { } other) return No(new("rig-taken", "", "a round was to be begun", $"{other} has this rig", "Wait for its end, or end it first."));
        var state = _runner.State;
        if (state.Link != RigLinkState.Connected || state.Identity is not { } rig)
            return No(new("rig-not-connected", "", "a round was to be begun", $"{state.RigName} is not connected{(state.LinkFault is { } fault ? $": {fault.TrimEnd('.')}" : "")}", "Check its cable and power; it is looked for all the time."));
        IReadOnlyList<int> sockets = wish.Sockets.Count > 0 ? wish.Sockets : [.. Enumerable.Range(0, rig.Sockets)];
        var setup = new RoundSetup(sockets, state.Heater.WarmAfter, []);
        var faults = setup.Faults(rig.Sockets).Where(f => f.Path == "/sockets").ToArray();
        if (faults.Length > 0) return Outcome<RoundPicture>.Refuse(faults);
        var choice = await RoundChoice.ChooseAsync(_stock, _runner, wish, sockets[0], _task.Stopped);
        if (!choice.IsAccepted) return Outcome<RoundPicture>.Refuse(choice.Refusals);
        setup = setup with { Tubes = choice.Value.Tubes };
        if (setup.Faults(rig.Sockets).ToArray() is { Length: > 0 } others) return Outcome<RoundPicture>.Refuse(others);
        _judged = _judged.Clear();
        (_fault, _retryAt) = (null, 0);
        (_onlyNew, _looked) = (wish.Labels.Count == 0, default);
        var now = _time.GetUtcNow();
        Publish(new(Guid.CreateVersion7(now).ToString("N"), _picture?.Version ?? 0, wish.Lot, wish.Plan, Round.Begin(setup), [.. choice.Value.LeftOut], _time.GetTimestamp(), now, IsOver: false));
        if (_hands is not null)
            foreach (var socket in sockets) _hands.Pull(socket);
        _task.Tick(TickEvery, TickEvery);
        return Outcome<RoundPicture>.Accept(_picture!);
    }

    private async Task<Outcome<RoundPicture>> EnterLineAsync(string text)
    {
        if (Current() is not { } picture) return NoRound("a line was entered");
        var read = RoundEntry.Read(text, picture.Round);
        if (!read.IsAccepted) return Outcome<RoundPicture>.Refuse(read.Refusals);
        switch (read.Value)
        {
            case RoundEntry.Happened { Event: RoundEvent.Named named }:
                return await AnotherLotAsync(named.Label, picture) is { } refusal ? No(refusal) : await TakeAsync(named);
            case RoundEntry.Happened happened:
                return await TakeAsync(happened.Event);
            case RoundEntry.AsideNext aside:
                return picture.Round.Next is { } next
                    ? await TakeAsync(new RoundEvent.PutAside(next.Tube.Label, aside.Why))
                    : No(new("nothing-asked", "/text", "a tube was put aside", "none is asked for now", "Name it: aside NUMBER WHY."));
            case RoundEntry.Acknowledge:
                return await AcknowledgeAsync();
            case RoundEntry.End:
                return await EndRoundAsync();
            default:
                return await AnswerAsync(read.Value, picture);
        }
    }

    private async Task<Outcome<RoundPicture>> AcknowledgeAsync()
    {
        var released = await _runner.AcknowledgeAsync(_task.Stopped);
        if (!released.IsAccepted) return Outcome<RoundPicture>.Refuse(released.Refusals);
        await GoOnAsync();
        return Outcome<RoundPicture>.Accept(_picture!);
    }

    private async Task<Outcome<RoundPicture>> AnswerAsync(RoundEntry entry, RoundPicture picture)
    {
        if (picture.Round.Seats.Values.Where(s => s.Phase == SeatPhase.Doubted).MinBy(s => s.SeatedAt) is not { } seat)
            return No(new("nothing-asked", "/text", "a question was answered", "none is open", "Nothing needs to be done."));
        var verdict = _judged[seat.Socket].Verdict;
        switch (entry)
        {
            case RoundEntry.SweepAgain:
                return await TakeAsync(new RoundEvent.Again(seat.Tube.Label));
            case RoundEntry.OtherType other:
                if (_types.Find(other.TypeName) is not { } type)
                    return No(new("type-unknown", "/text", $"{seat.Tube.Label} is to be a {other.TypeName}", "the catalogue has no such type", "Check the designation, or say keep."));
                if (type.NotSweptBecause is { } why) return No(new("type-not-swept", "/text", $"{seat.Tube.Label} is to be a {type.Name}", why, "Put it aside: aside " + seat.Tube.Label + "."));
                if (type.Name != seat.Tube.TypeName)
                {
                    var identified = await _stock.ChangeAsync(seat.Tube.Label, TubeChangeKind.Identified, type.Name, _task.Stopped);
                    if (!identified.IsAccepted) return Outcome<RoundPicture>.Refuse(identified.Refusals);
                }
                return await SettleAsync(seat, type.Name, $"{verdict}; was on record as {seat.Tube.TypeName}");
            default:
                return await SettleAsync(seat, seat.Tube.TypeName, $"{verdict}; type kept by the operator though doubted");
        }
    }

    private async Task<Outcome<RoundPicture>> SettleAsync(Seat seat, string type, string verdict)
    {
        var kept = await _stock.ChangeAsync(seat.Tube.Label, TubeChangeKind.Screened, verdict, _task.Stopped);
        if (!kept.IsAccepted) return Outcome<RoundPicture>.Refuse(kept.Refusals);
        return await TakeAsync(new RoundEvent.TypeSettled(seat.Socket, type, verdict));
    }

    /// <summary>A number of the stock that is of another lot is told as that; a number that nobody knows as well.</summary>
    private async Task<Refusal?> AnotherLotAsync(string label, RoundPicture picture)
    {
        if (picture.Round.Setup.Tubes.Any(t => t.Label == label)) return null;
        if (await _stock.FindAsync(label, _task.Stopped) is not { } tube) return StockStore.Unknown(label) with { Path = "/text" };
        var left = picture.LeftOut.Find(l => l.Label == label);
        return new(left is null && tube.Lot != picture.Lot ? "tube-of-another-lot" : "tube-not-in-round", "/text", $"{label} was named",
            left is not null ? $"it was left out: {left.Reason}" : picture.Lot is { } lot && tube.Lot != lot ? $"it is of lot {tube.Lot}, and this round is of lot {lot}" : $"it is {StockTube.Words(tube.State)} and not in this round",
            "Read the number again, or begin another round with that tube.");
    }

    private async Task<Outcome<RoundPicture>> TakeAsync(RoundEvent happened)
    {
        var before = _picture!;
        var after = before.Round.After(happened, Since(before));
        if (!after.IsAccepted) return Outcome<RoundPicture>.Refuse(after.Refusals);
        Publish(before with { Round = after.Value });
        if (_hands is not null)
        {
            if (happened is RoundEvent.Pulled pulled) _hands.Pull(pulled.Socket);
            foreach (var (socket, seat) in after.Value.Seats)
                if (before.Round.Seats.GetValueOrDefault(socket)?.Tube.Label != seat.Tube.Label) _hands.Seat(socket, seat.Tube);
        }
        await GoOnAsync();
        return Outcome<RoundPicture>.Accept(_picture!);
    }

    private async Task<Outcome<RoundPicture>> EndRoundAsync()
    {
        if (Current() is not { } picture) return NoRound("a round was to be ended");
        await CloseAsync(picture);
        return Outcome<RoundPicture>.Accept(_picture!);
    }

    private RoundPicture? Current() => _picture is { IsOver: false } picture ? picture : null;

    private static Outcome<RoundPicture> NoRound(string asked) => No(new("no-round", "", asked, "none is under way", "Begin one."));

    private static Outcome<RoundPicture> No(Refusal refusal) => Outcome<RoundPicture>.Refuse(refusal);
}
