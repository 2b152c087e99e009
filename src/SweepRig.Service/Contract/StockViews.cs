using SweepRig.Domain.Stock;

namespace SweepRig.Service.Contract;

/// <summary>A lot of the stock.</summary>
public sealed record LotView(string Name, string Prefix, string? Type, string? Origin, string? Price, string? Note, DateTimeOffset BookedUtc, int Tubes);

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
    string Label, string Lot, string? Type, string State, string? Location, string? InUseAt, string? Grade, IReadOnlyList<TubeChangeView> History)
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
