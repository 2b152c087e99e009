using SweepRig.Domain;
using SweepRig.Logic.Networks;
using SweepRig.Logic.Search;

namespace SweepRig.Logic.Gates.Documents;

/// <summary>A sheet with values for all its gates, and the search that found them.</summary>
public sealed record ChosenSheet(GateSheet Sheet, SearchResult Search);

/// <summary>Gives values to the gates of a sheet whose values are still to be chosen: one set for all, so that any tube may stand anywhere.</summary>
public static class SheetChooser
{
    /// <summary>Range of each resistor that is tried. Unit: ohm.</summary>
    public static readonly (double Low, double High) Plate = (4_700, 47_000), Upper = (47_000, 220_000), Lower = (47_000, 330_000);

    /// <param name="tubes">That may stand in any place.</param>
    /// <param name="otherwise">Everything that is not searched: connection, screen and cathode resistors, stopper, capacitors.</param>
    /// <param name="series">Of the resistors.</param>
    /// <returns>Refused with the faults of the sheet, or when no values have a margin within the limits.</returns>
    /// <exception cref="ArgumentException">No tubes.</exception>
    public static Outcome<ChosenSheet> Choose(GateSheet sheet, IReadOnlyList<TubePart> tubes, CellValues otherwise, PreferredSeries series, StageLimits limits, CancellationToken cancel = default)
    {
        ArgumentNullException.ThrowIfNull(sheet);
        ArgumentNullException.ThrowIfNull(otherwise);
        var expanded = SheetExpansion.Network(sheet, _ => otherwise);
        if (expanded.Value is not { } network) return Outcome<ChosenSheet>.Refuse(expanded.Refusals);
        var fanOut = Math.Max(1, network.Gates.Max(g => network.FanOut(g.Output)));
        IReadOnlyList<double> Among((double Low, double High) range) => PreferredValues.Between(series, range.Low, range.High);
        return ValueSearch.Run(new(sheet.Rails, otherwise.Stage, tubes, fanOut, Among(Plate), Among(Upper), Among(Lower), limits), cancel).Map(found =>
        {
            var values = otherwise with { Stage = otherwise.Stage with { PlateOhms = found.Best.Plate, UpperOhms = found.Best.Upper, LowerOhms = found.Best.Lower } };
            return new ChosenSheet(sheet with { Values = sheet.Values ?? values, Entries = [.. sheet.Entries.Select(e => sheet.ValuesOf(e) is null ? e with { Values = values, IsOpen = false } : e)] }, found);
        });
    }
}
