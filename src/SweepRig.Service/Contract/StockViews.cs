using SweepRig.Domain.Stock;

namespace SweepRig.Service.Contract;

/// <summary>A lot of the stock.</summary>
public sealed record LotView(string Name, string Prefix, string? Type, string? Origin, string? Price, string? Note, DateTimeOffset BookedUtc, int Tubes)
{
    public static LotView Of(Lot lot, int tubes) => new(lot.Name, lot.Prefix, lot.TypeName, lot.Origin, lot.Price, lot.Note, lot.BookedUtc, tubes);
}

/// <summary>A tube of the stock.</summary>
/// <param name="Label">The number written on it.</param>
/// <param name="Lot">Name of its lot.</param>
/// <param name="Type">Null while it has not been identified.</param>
/// <param name="State">How far it has come.</param>
/// <param name="Location">Box or drawer.</param>
/// <param name="InUseAt">Circuit and position, while in use.</param>
/// <param name="Grade">The last one given.</param>
/// <param name="History">All changes, the oldest first.</param>
public sealed record StockTubeView(
    string Label, string Lot, string? Type, [property: OneOf("new", "screened", "graded", "in use", "retired")] string State, string? Location, string? InUseAt, string? Grade,
    IReadOnlyList<TubeChangeView> History)
{
    public static StockTubeView Of(StockTube tube) => new(
        tube.Label, tube.Lot, tube.TypeName, StockWords.Word(tube.State), tube.Location, tube.InUseAt, tube.Grade,
        [.. tube.History.Select(h => new TubeChangeView(StockWords.Word(h.Kind), h.Text, h.AtUtc))]);
}

/// <summary>Something that happened to a tube.</summary>
public sealed record TubeChangeView(string Kind, string Text, DateTimeOffset AtUtc);

/// <summary>The words that scripts and people read for states and changes.</summary>
public static class StockWords
{
    public static IReadOnlyList<string> States { get; } = [.. Enum.GetValues<TubeState>().Select(Word)];

    public static string Word(TubeState state) => StockTube.Words(state);

    public static string Word(TubeChangeKind kind) => kind switch
    {
        TubeChangeKind.Booked => "booked in",
        TubeChangeKind.Identified => "identified as",
        TubeChangeKind.Moved => "moved to",
        TubeChangeKind.Screened => "screened",
        TubeChangeKind.Graded => "graded",
        TubeChangeKind.PutToUse => "put to use",
        TubeChangeKind.TakenOut => "taken out",
        TubeChangeKind.Retired => "retired",
        TubeChangeKind.Returned => "returned",
        _ => "noted",
    };
}

/// <summary>Request: book tubes in, into a new lot or one that is there.</summary>
/// <param name="Name">Of the lot, 1 to 40 characters.</param>
/// <param name="Count">Tubes, 1 to 9999.</param>
/// <param name="Type">Of all of them; leave it out for a mixed lot.</param>
/// <param name="Prefix">What their numbers begin with; leave it out for letters and digits of the name.</param>
/// <param name="Place">Box or drawer that they go into.</param>
public sealed record BookTubesRequest(
    string Name, int Count, string? Type = null, string? Prefix = null, string? Origin = null, string? Price = null, string? Note = null, string? Place = null);

/// <param name="Labels">Numbers to be written on the tubes, in order.</param>
/// <param name="Remarks">What is to be known of the type: a caution, or that nothing is known of it.</param>
public sealed record BookedTubesView(string Lot, string[] Labels, string[] Remarks);

/// <summary>Request: add to the history of a tube.</summary>
/// <param name="Change">What happens to it.</param>
/// <param name="Text">The type, the place, the circuit, the reason or the note; one line of 1 to 200 characters.</param>
public sealed record ChangeTubeRequest([property: OneOf("identify", "move", "use", "free", "retire", "return", "note")] string Change, string Text);

public sealed record LotListView(LotView[] Lots);

/// <summary>A tube as a line of a list.</summary>
/// <param name="ChangedUtc">Of the newest change.</param>
public sealed record StockTubeItem(
    string Label, string Lot, string? Type, [property: OneOf("new", "screened", "graded", "in use", "retired")] string State, string? Location, string? InUseAt, string? Grade, DateTimeOffset ChangedUtc)
{
    public static StockTubeItem Of(StockTube tube) => new(
        tube.Label, tube.Lot, tube.TypeName, StockWords.Word(tube.State), tube.Location, tube.InUseAt, tube.Grade, tube.History[^1].AtUtc);
}

/// <summary>A page of the tubes that are like what was asked, by lot and number.</summary>
/// <param name="Found">Tubes like that on all pages.</param>
/// <param name="InStock">Tubes of the whole stock.</param>
/// <param name="After">The number to ask the next page with; null on the last.</param>
public sealed record StockTubesView(StockTubeItem[] Tubes, int Found, int InStock, string? After, StockChoicesView Choices);

/// <summary>What there is to choose from in the whole stock.</summary>
public sealed record StockChoicesView(string[] Lots, string[] Types, string[] Grades, string[] Places);

/// <summary>A tube with all that is known of it.</summary>
/// <param name="Caution">Of its type, where there is one.</param>
/// <param name="TypeIsKnown">False when it has no type, or one that the catalogue does not have.</param>
/// <param name="Runs">The newest, newest first.</param>
public sealed record TubeWithRunsView(StockTubeView Tube, string? Caution, bool TypeIsKnown, RunView[] Runs);
