namespace SweepRig.Storage.Schema;

/// <summary>A lot. Times are ISO 8601 in UTC, so that they sort as text.</summary>
internal sealed class LotRow
{
    public long Number { get; set; }
    public required string Name { get; set; }
    public required string Prefix { get; set; }
    public string? Type { get; set; }
    public string? Origin { get; set; }
    public string? Price { get; set; }
    public string? Note { get; set; }
    public required string Booked { get; set; }
}

/// <summary>A tube of a lot; all else of it is in its changes.</summary>
internal sealed class TubeRow
{
    public long Number { get; set; }
    public required string Label { get; set; }
    public long Lot { get; set; }
    public int Ordinal { get; set; }
}

/// <summary>A change of a tube. Never changed itself, and never taken away.</summary>
internal sealed class TubeChangeRow
{
    public long Number { get; set; }
    public long Tube { get; set; }
    public required string Kind { get; set; }
    public required string Text { get; set; }
    public required string At { get; set; }
}
