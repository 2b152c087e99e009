namespace SweepRig.Service.Contract;

/// <summary>Something that whoever left the bench alone wants to know.</summary>
/// <param name="Number">Higher for what was kept later.</param>
/// <param name="Rig">Null for what concerns the whole bench.</param>
/// <param name="Kind">Kebab-case, for example <c>rig-gone</c>.</param>
/// <param name="Text">What happened, one line.</param>
/// <param name="Remedy">What to do, one line; empty where nothing is to be done.</param>
/// <param name="Seen">Somebody has said that he saw it.</param>
public sealed record EventView(
    long Number,
    string Utc,
    string? Rig,
    [property: OneOf("note", "warning", "alarm")] string Severity,
    string Kind,
    string Text,
    string Remedy,
    string? RunId,
    string? Tube,
    string? Job,
    bool Seen);

/// <param name="Events">The newest first.</param>
/// <param name="Newest">Highest number of all that the bench has kept, to ask since; 0 for none.</param>
/// <param name="Unseen">Warnings and alarms that nobody has seen.</param>
/// <param name="OlderThan">To ask for the next page with; null when there is none.</param>
public sealed record EventListView(EventView[] Events, long Newest, int Unseen, long? OlderThan);

/// <summary>Request: somebody has seen all events up to a number.</summary>
public sealed record SeenRequest(long UpTo);
