namespace SweepRig.Service.Contract;

/// <summary>What must be known in the morning, the state of the bench first. Times are UTC.</summary>
/// <param name="Headline">The state of the bench in one line; needs nothing else to be understood.</param>
/// <param name="Now">Each rig as it is now; empty where no service could be asked.</param>
/// <param name="First">What to do, the most urgent first.</param>
/// <param name="Drifts">Tubes that were measured in this time and before.</param>
/// <param name="Skipped">Tubes whose work was left out, with the reason.</param>
/// <param name="Kinds">Events by kind and rig.</param>
/// <param name="Alarms">Those of this time alone.</param>
/// <param name="Nights">Nights of this time, predicted and happened.</param>
/// <param name="Notes">What the report could not look at.</param>
public sealed record MorningView(
    string FromUtc, string UntilUtc, string MadeUtc, string Headline, RigNowView[] Now, FirstView[] First, RigWorkView[] Work, MorningTripView[] Trips, MorningDriftView[] Drifts,
    SkippedTubeView[] Skipped, EventCountView[] Kinds, AlarmStatusView Alarms, MorningNightView[] Nights, string[] Notes);

/// <param name="State">In words: connected, tripped, does not answer.</param>
/// <param name="Remedy">Empty where nothing is to be done.</param>
public sealed record RigNowView(string Rig, [property: OneOf("ready", "working", "tripped", "gone")] string State, string Text, string Remedy);

/// <param name="Count">How often it happened.</param>
/// <param name="LastUtc">When it happened last.</param>
public sealed record FirstView([property: OneOf("note", "warning", "alarm")] string Severity, string? Rig, string Text, string Remedy, int Count, string LastUtc);

/// <param name="Rig">Serial number.</param>
/// <param name="Tubes">Different ones.</param>
public sealed record RigWorkView(string Rig, int Runs, int Complete, int Stopped, int Tripped, int Incomplete, long Samples, long MissingPoints, int Tubes);

public sealed record MorningTripView(string Utc, string Rig, string RunId, string Tube, string Text, string Remedy);

/// <param name="HasChanged">By more than the measurements can be wrong.</param>
public sealed record MorningDriftView(string Tube, string Quantity, bool HasChanged, string Text);

public sealed record SkippedTubeView(string? Rig, string? Job, string? Tube, string Why);

public sealed record EventCountView(string Kind, [property: OneOf("note", "warning", "alarm")] string Severity, string? Rig, int Count);

/// <param name="EndedUtc">Null while it still runs.</param>
/// <param name="HeaterSeconds">Of all sockets together; null where it is not on record.</param>
public sealed record MorningNightView(
    string Id, string Rig, string Name, string BegunUtc, string? EndedUtc, string? EndedBecause, double? HeaterSeconds, double? HeaterLimitSeconds, double? Millicoulombs, double? MillicoulombLimit, MorningJobView[] Jobs);

/// <summary>A job: predicted and happened.</summary>
public sealed record MorningJobView(
    string Job, int Steps, int Passed, int Failed, int Skipped, int NotReached, string? PredictedBeginUtc, string? PredictedEndUtc, string? BeganUtc, string? EndedUtc);
