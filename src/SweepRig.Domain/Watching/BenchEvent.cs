namespace SweepRig.Domain.Watching;

/// <summary>Something that whoever left the bench alone wants to know.</summary>
/// <param name="Id">Made by whoever tells it, so that it is kept once however often it is tried.</param>
/// <param name="Utc">When it happened.</param>
/// <param name="Rig">Name of the rig; null for what concerns the whole bench.</param>
/// <param name="Text">What happened, with figures; one line, a whole sentence.</param>
/// <param name="Remedy">What to do; one line, empty where nothing is to be done.</param>
public sealed record BenchEvent(Guid Id, DateTimeOffset Utc, string? Rig, EventSeverity Severity, EventKind Kind, string Text, string Remedy)
{
    /// <summary>Longest text and longest remedy, in characters.</summary>
    public const int MaxLength = 600;

    /// <summary>The run that it befell; null for none.</summary>
    public string? RunId { get; init; }

    /// <summary>Label of the tube that it befell; null for none.</summary>
    public string? Tube { get; init; }

    /// <summary>The job of a night that it befell, as a person finds it; null for none.</summary>
    public string? Job { get; init; }

    /// <summary>A new event. Line breaks become spaces; what is longer than <see cref="MaxLength"/> is cut, and shows it.</summary>
    public static BenchEvent Of(DateTimeOffset utc, string? rig, EventSeverity severity, EventKind kind, string text, string remedy = "") =>
        new(Guid.CreateVersion7(utc), utc, rig, severity, kind, OneLine(text), OneLine(remedy));

    private static string OneLine(string text)
    {
        var line = string.Join(' ', text.Split(['\r', '\n'], StringSplitOptions.RemoveEmptyEntries | StringSplitOptions.TrimEntries));
        return line.Length <= MaxLength ? line : line[..(MaxLength - 3)] + "...";
    }
}
