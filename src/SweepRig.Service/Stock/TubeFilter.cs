using SweepRig.Domain.Stock;
using SweepRig.Service.Contract;

namespace SweepRig.Service.Stock;

/// <summary>Which tubes of the stock are meant. A null condition counts for nothing; upper and lower case do not matter.</summary>
/// <param name="Lot">Name of the lot.</param>
/// <param name="Type">Designation, or <see cref="None"/> for tubes that have not been identified.</param>
/// <param name="State">A word of <see cref="StockWords.States"/>.</param>
/// <param name="Grade">Name of the grade, or <see cref="None"/> for tubes without one.</param>
/// <param name="Place">Part of the box or drawer, or of what the tube is used in.</param>
/// <param name="Find">Part of the number, or of anything in the history.</param>
public sealed record TubeFilter(string? Lot, string? Type, string? State, string? Grade, string? Place, string? Find)
{
    public const string None = "none";

    public bool Takes(StockTube tube)
    {
        ArgumentNullException.ThrowIfNull(tube);
        return Is(Lot, tube.Lot) && Is(Type, tube.TypeName ?? None) && Is(State, StockWords.Word(tube.State)) && Is(Grade, tube.Grade ?? None)
            && (Place is null || Holds(tube.InUseAt ?? tube.Location, Place))
            && (Find is null || Holds(tube.Label, Find) || tube.History.Any(h => Holds(h.Text, Find)));
    }

    private static bool Is(string? asked, string has) => asked is null || string.Equals(asked, has, StringComparison.OrdinalIgnoreCase);

    private static bool Holds(string? text, string part) => text is not null && text.Contains(part, StringComparison.OrdinalIgnoreCase);
}
