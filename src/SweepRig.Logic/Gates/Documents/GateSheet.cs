namespace SweepRig.Logic.Gates.Documents;

/// <summary>A gate, an adder, a cell or a row of cells on a sheet: something of one of the <see cref="CircuitKinds"/>, wired by the names of signals.</summary>
/// <param name="Kind">Its word.</param>
/// <param name="Inputs">Signals that it takes, in the order of its kind.</param>
/// <param name="Outputs">Signals that it makes; those between its tubes are named after them.</param>
public sealed record GateEntry(string Kind, IReadOnlyList<string> Inputs, IReadOnlyList<string> Outputs)
{
    /// <summary>Numbers in the stock for its places, in their order; null, or left out at the end, for any tube.</summary>
    public IReadOnlyList<string?> Tubes { get; init; } = [];

    /// <summary>Its own values; null for those of the sheet.</summary>
    public CellValues? Values { get; init; }

    /// <summary>Its values are still to be chosen, whatever the sheet says.</summary>
    public bool IsOpen { get; init; }
}

/// <summary>A network of gates as it is written down: what it is made of, not yet its parts.</summary>
/// <param name="Inputs">Signals that come from outside.</param>
/// <param name="Outputs">Signals that are looked at outside.</param>
/// <param name="Entries">In the order of the document.</param>
public sealed record GateSheet(string Name, GateRails Rails, IReadOnlyList<string> Inputs, IReadOnlyList<string> Outputs, IReadOnlyList<GateEntry> Entries)
{
    /// <summary>Most entries: each may be a row of cells.</summary>
    public const int MostEntries = 200;

    /// <summary>Longest name of a signal: the parts that are named after it stay within what a netlist takes.</summary>
    public const int LongestSignal = 12;

    /// <summary>For people; null for none.</summary>
    public string? Note { get; init; }

    /// <summary>Of every entry that has none of its own; null when they are still to be chosen.</summary>
    public CellValues? Values { get; init; } = CellValues.Usual;

    /// <summary>What hangs on signals from outside.</summary>
    public IReadOnlyList<GateLoad> Loads { get; init; } = [];

    /// <summary>Values of an entry; null when they are still to be chosen.</summary>
    public CellValues? ValuesOf(GateEntry entry)
    {
        ArgumentNullException.ThrowIfNull(entry);
        return entry.IsOpen ? null : entry.Values ?? Values;
    }
}
