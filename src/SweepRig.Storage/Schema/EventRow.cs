namespace SweepRig.Storage.Schema;

/// <summary>An event of a bench. Times are ISO 8601 in UTC, so that they sort as text.</summary>
internal sealed class EventRow
{
    public long Number { get; set; }
    public required string Id { get; set; }
    public required string Bench { get; set; }
    public required string At { get; set; }
    public string? Rig { get; set; }
    public required string Severity { get; set; }
    public required string Kind { get; set; }
    public required string Text { get; set; }
    public required string Remedy { get; set; }
    public string? Run { get; set; }
    public string? Tube { get; set; }
    public string? Job { get; set; }
    public bool Seen { get; set; }
}
