namespace SweepRig.Storage;

/// <summary>A night as it stands in the store. What its texts mean is known to whoever wrote them.</summary>
/// <param name="Id">A version 7 UUID as 32 hex digits.</param>
/// <param name="Rig">Name of the station whose rig it is.</param>
/// <param name="Name">For people.</param>
/// <param name="EndedUtc">Null while it is not over.</param>
/// <param name="EndedBecause">Why it is over, for people; null before.</param>
/// <param name="Document">As it was asked for.</param>
/// <param name="Tubes">Tubes in its sockets.</param>
/// <param name="Forecast">How it was expected to go.</param>
/// <param name="Progress">What of its limits was used.</param>
public sealed record StoredNight(
    string Id, string Rig, string Name, DateTimeOffset BegunUtc, DateTimeOffset? EndedUtc, string? EndedBecause, string Document, string Tubes, string Forecast, string Progress)
{
    public bool IsOver => EndedUtc is not null;
}

/// <summary>One attempt at a step of a night, or a step that was left out.</summary>
/// <param name="Step">Place among the steps of the night.</param>
/// <param name="Attempt">From 1; 0 for a step that was never begun.</param>
/// <param name="Job">Name of its job.</param>
/// <param name="Turn">Of a job that is repeated, from 0.</param>
/// <param name="Tube">Number of the tube.</param>
/// <param name="State"><c>running</c> until it is done with; then what came of it, one word.</param>
/// <param name="Began">Since the night began; null for a step that was left out.</param>
/// <param name="Ended">The same; null before.</param>
/// <param name="Verdict">For people.</param>
/// <param name="Runs">On record, in order.</param>
/// <param name="Coulombs">Charge that went into the grid.</param>
public sealed record StoredNightStep(
    int Step, int Attempt, string Job, int Socket, int Turn, string Tube, string State, TimeSpan? Began, TimeSpan? Ended, string? Verdict, IReadOnlyList<string> Runs, double Coulombs)
{
    public const string Running = "running";
}
