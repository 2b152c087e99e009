using SweepRig.Domain.Tubes;

namespace SweepRig.Domain.Stock;

/// <summary>How far a tube has come in the stock.</summary>
public enum TubeState
{
    /// <summary>Booked in, nothing known yet.</summary>
    New,
    Screened,
    Graded,
    InUse,
    Retired,
}

/// <summary>One tube of the stock as its history leaves it. A pure state machine: a change gives another tube, and the history is only ever added to.</summary>
/// <param name="Label">The number written on it.</param>
/// <param name="Lot">Name of its lot.</param>
/// <param name="TypeName">Null while it has not been identified.</param>
/// <param name="State">How far it has come.</param>
/// <param name="Location">Box or drawer; null where nobody said.</param>
/// <param name="InUseAt">Circuit and position; null unless in use.</param>
/// <param name="Grade">The last one given; null before.</param>
/// <param name="History">All changes, the oldest first.</param>
public sealed record StockTube(
    string Label, string Lot, string? TypeName, TubeState State, string? Location, string? InUseAt, string? Grade, IReadOnlyList<TubeChange> History)
{
    public const int LongestLabel = 20;

    /// <summary>A tube as it comes into the stock.</summary>
    public static StockTube Booked(string label, string lot, DateTimeOffset atUtc) =>
        new(label, lot, null, TubeState.New, null, null, null, [new(TubeChangeKind.Booked, lot, atUtc)]);

    /// <summary>A tube as its history leaves it.</summary>
    /// <param name="label">The number written on it.</param>
    /// <param name="lot">Name of its lot.</param>
    /// <param name="bookedUtc">When it came into the stock.</param>
    /// <param name="later">What happened then, the oldest first; read up to the first change that cannot be.</param>
    /// <returns>The tube, or why the history does not hold together.</returns>
    public static Outcome<StockTube> Of(string label, string lot, DateTimeOffset bookedUtc, IEnumerable<TubeChange> later)
    {
        ArgumentNullException.ThrowIfNull(later);
        var tube = Outcome<StockTube>.Accept(Booked(label, lot, bookedUtc));
        foreach (var change in later)
        {
            tube = tube.Value!.After(change);
            if (!tube.IsAccepted) break;
        }
        return tube;
    }

    /// <summary>The tube for a bench, when its type is known.</summary>
    public Tube? Tube => TypeName is null ? null : new(Label, TypeName, Lot);

    /// <returns>The tube after the change, or the reason why it cannot be.</returns>
    public Outcome<StockTube> After(TubeChange change)
    {
        ArgumentNullException.ThrowIfNull(change);
        if (Fault(change) is { } fault) return Outcome<StockTube>.Refuse(fault);
        var next = this with { History = [.. History, change] };
        return Outcome<StockTube>.Accept(change.Kind switch
        {
            TubeChangeKind.Identified => next with { TypeName = change.Text },
            TubeChangeKind.Moved => next with { Location = change.Text },
            TubeChangeKind.Screened => next with { State = State == TubeState.New ? TubeState.Screened : State },
            TubeChangeKind.Graded => next with { Grade = change.Text, State = State == TubeState.InUse ? State : TubeState.Graded },
            TubeChangeKind.PutToUse => next with { State = TubeState.InUse, InUseAt = change.Text },
            TubeChangeKind.TakenOut or TubeChangeKind.Returned => next with { State = Known(), InUseAt = null },
            TubeChangeKind.Retired => next with { State = TubeState.Retired, InUseAt = null },
            _ => next,
        });
    }

    // What was found out of a tube is not lost by plugging it in.
    private TubeState Known() =>
        Grade is not null ? TubeState.Graded : History.Any(h => h.Kind == TubeChangeKind.Screened) ? TubeState.Screened : TubeState.New;

    private Refusal? Fault(TubeChange change)
    {
        if (string.IsNullOrWhiteSpace(change.Text) || change.Text.Length > TubeChange.LongestText || change.Text.Any(char.IsControl))
        {
            return new("bad-text", "/text", $"{change.Text.Trim().Length} characters go with the change of {Label}",
                $"one line of 1 to {TubeChange.LongestText} characters is needed", "Say in a few words what, where or why.");
        }
        return change.Kind switch
        {
            TubeChangeKind.Booked => Refused("already-booked", "is to be booked in again", "it is in the stock", "Give the other tube another number."),
            TubeChangeKind.Noted => null,
            TubeChangeKind.Returned when State != TubeState.Retired => Refused("not-retired", "is to be returned", $"it is {Words(State)}", "Nothing needs to be done."),
            TubeChangeKind.Returned => null,
            _ when State == TubeState.Retired => Refused("tube-retired", $"is to be {Words(change.Kind)}", "it is retired", "Return it to the stock first if it is good after all."),
            TubeChangeKind.PutToUse when State == TubeState.InUse => Refused("tube-in-use", $"is to be used at {change.Text}", $"it is in use at {InUseAt}", "Take it out there first."),
            TubeChangeKind.TakenOut when State != TubeState.InUse => Refused("tube-not-in-use", "is to be taken out", $"it is {Words(State)}", "Check the number on the tube."),
            _ => null,
        };
    }

    private Refusal Refused(string code, string asked, string allowed, string remedy) => new(code, "/label", $"{Label} {asked}", allowed, remedy);

    /// <summary>A state in words, for people and scripts.</summary>
    public static string Words(TubeState state) => state switch
    {
        TubeState.New => "new",
        TubeState.Screened => "screened",
        TubeState.Graded => "graded",
        TubeState.InUse => "in use",
        _ => "retired",
    };

    private static string Words(TubeChangeKind kind) => kind switch
    {
        TubeChangeKind.Identified => "identified",
        TubeChangeKind.Moved => "moved",
        TubeChangeKind.Screened => "screened",
        TubeChangeKind.Graded => "graded",
        TubeChangeKind.PutToUse => "put to use",
        TubeChangeKind.TakenOut => "taken out",
        TubeChangeKind.Retired => "retired",
        _ => "changed",
    };
}
