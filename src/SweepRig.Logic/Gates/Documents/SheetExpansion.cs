using SweepRig.Domain;
using SweepRig.Domain.Quantities;
using SweepRig.Logic.Networks;
using SweepRig.Tubes.Model;

namespace SweepRig.Logic.Gates.Documents;

/// <summary>Makes a network of gates of a sheet, and of that its parts.</summary>
public static class SheetExpansion
{
    /// <summary>Every gate and edge.</summary>
    /// <param name="choose">Gives values to entries whose values are still to be chosen; null when there must be none.</param>
    /// <returns>Refused with every fault of <see cref="SheetChecks"/>, and for values that are still to be chosen.</returns>
    public static Outcome<GateNetwork> Network(GateSheet sheet, Func<GateEntry, CellValues>? choose = null)
    {
        ArgumentNullException.ThrowIfNull(sheet);
        var faults = SheetChecks.Find(sheet).ToList();
        for (var n = 0; n < sheet.Entries.Count; n++)
        {
            if (choose is null && sheet.ValuesOf(sheet.Entries[n]) is null)
                faults.Add(new("values-open", $"/gates/{n}", $"the values of {string.Join(", ", sheet.Entries[n].Outputs)} are still to be chosen", "parts need values", "Search values for it, or write them into the sheet."));
        }
        return faults.Count > 0 ? Outcome<GateNetwork>.Refuse(faults) : Outcome<GateNetwork>.Accept(Expand(sheet, choose ?? (_ => CellValues.Usual)));
    }

    /// <summary>All parts, ready to be solved, drawn or written as <c>network/1</c>.</summary>
    /// <param name="shelf">Where tubes that are named are found.</param>
    /// <param name="any">The tube for a place that takes any; null where there is none.</param>
    /// <param name="inputs">Of each input; left out, 0 V.</param>
    /// <returns>Refused also for tubes that are not on the shelf, and for places left without one.</returns>
    public static Outcome<Network> Wire(
        GateSheet sheet, ITubeShelf shelf, Func<string, TubePart?> any, IReadOnlyList<Waveform>? inputs = null, Func<GateEntry, CellValues>? choose = null)
    {
        ArgumentNullException.ThrowIfNull(shelf);
        ArgumentNullException.ThrowIfNull(any);
        var expanded = Network(sheet, choose);
        if (expanded.Value is not { } network) return Outcome<Network>.Refuse(expanded.Refusals);
        var (faults, tubes) = (new List<Refusal>(), new Dictionary<string, TubePart>(StringComparer.Ordinal));
        foreach (var (position, number, path) in Places(sheet))
        {
            if (number is null)
            {
                if (any(position) is { } free) tubes[position] = free;
                else faults.Add(new("tube-open", path, $"the place {position} takes any tube", "none is at hand for it", "Name a tube of the stock, or have tubes chosen."));
                continue;
            }
            var found = shelf.Find(number);
            if (found.Value is { } tube) tubes[position] = Part(tube, sheet.Rails.Heater);
            else faults.AddRange(found.Refusals.Select(r => r with { Path = path }));
        }
        if (faults.Count > 0) return Outcome<Network>.Refuse(faults);
        var wired = GateWiring.Wire(network, p => tubes[p], inputs ?? [.. network.Inputs.Select(_ => Waveform.Steady(0))]);
        faults.AddRange(NetworkChecks.Find(wired).Select(r => r with { Path = "" }));
        return faults.Count > 0 ? Outcome<Network>.Refuse(faults) : Outcome<Network>.Accept(wired);
    }

    /// <summary>Every place of the network in its order, with the number of the tube that the sheet names for it, or null for any.</summary>
    public static IEnumerable<(string Position, string? Number, string Path)> Places(GateSheet sheet)
    {
        ArgumentNullException.ThrowIfNull(sheet);
        return sheet.Entries.SelectMany((entry, n) => Gates(entry, CellValues.Usual).Gates.SelectMany(g => g.Positions)
            .Select((position, at) => (position, at < entry.Tubes.Count ? entry.Tubes[at] : null, at < entry.Tubes.Count ? $"/gates/{n}/tubes" : $"/gates/{n}")));
    }

    internal static GateNetwork Expand(GateSheet sheet, Func<GateEntry, CellValues> choose)
    {
        var made = sheet.Entries.Select(e => Gates(e, sheet.ValuesOf(e) ?? choose(e))).ToList();
        return new(sheet.Name, sheet.Rails, sheet.Inputs, sheet.Outputs, [.. made.SelectMany(m => m.Gates)]) { Steers = [.. made.SelectMany(m => m.Steers)], Loads = sheet.Loads };
    }

    internal static (IReadOnlyList<Gate> Gates, IReadOnlyList<Steer> Steers) Gates(GateEntry entry, CellValues values) =>
        CircuitKinds.Find(entry.Kind)?.Make(entry, values) ?? throw new ArgumentException($"There is no kind {entry.Kind}.", nameof(entry));

    private static TubePart Part(ShelfTube tube, double heaterVolts) => new("V", "p", "s", "g", Networks.Network.Ground, new TubeModel(tube.Constants, new Volts(heaterVolts)))
    {
        Number = tube.Number, TypeName = tube.TypeName, Range = tube.Range, HeaterVolts = heaterVolts, HeaterAmps = tube.HeaterAmps,
    };
}
