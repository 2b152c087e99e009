using System.Text.Json;
using MessagePack;

namespace SweepRig.Service.Contract;

/// <summary>Request: a night, to be checked or begun.</summary>
/// <param name="Document">See the schema.</param>
public sealed record NightRequest(JsonElement Document);

/// <summary>Request: hold the night.</summary>
/// <param name="Why">For whoever looks later; one line.</param>
public sealed record HoldNightRequest(string Why);

/// <summary>Request: leave a job out.</summary>
public sealed record SkipNightJobRequest(string Job);

/// <param name="Night">The night under way, or the last one since the service started; null before the first.</param>
public sealed record NightStatusView(NightView? Night);

/// <summary>A night to start from.</summary>
/// <param name="Explains">One sentence on what it is for.</param>
public sealed record NightExampleView(string Name, string Explains, JsonElement Document);

/// <summary>A night under way or over. Times are UTC in ISO 8601, spans in seconds.</summary>
/// <param name="Version">Higher at each change.</param>
/// <param name="Rig">Name of its rig.</param>
/// <param name="EndsUtc">When its window closes.</param>
/// <param name="State"><c>waiting</c> for a time, <c>working</c>, <c>held</c>, <c>cut-short</c>: not taken up again yet after the service ended, or <c>over</c>.</param>
/// <param name="Doing">What it does or waits for, for people.</param>
/// <param name="WakesUtc">When it goes on by itself; null where only an event can change it.</param>
/// <param name="Held">Why nothing is begun; null where something can be.</param>
/// <param name="NeedsPerson">It does not pass by itself.</param>
/// <param name="OverBecause">Null before.</param>
/// <param name="TakenUp">How often it was taken up again by a new process.</param>
/// <param name="Jobs">In the order of the document.</param>
public sealed record NightView(
    string Id, long Version, string Rig, string Name, string TimeZone, string Window, string BegunUtc, string? EndsUtc, [property: OneOf("waiting", "working", "held", "cut-short", "over")] string State, string Doing,
    string? WakesUtc, string? Held, bool NeedsPerson, string? OverBecause, int TakenUp, NightUseView Use, NightJobView[] Jobs, NightSeatView[] Sockets, NightLoadView Forecast, NightStepView[] Latest, NightStepView[] Coming);

/// <summary>What of the limits was used; a limit is null where none is stated.</summary>
public sealed record NightUseView(double HeaterSeconds, double? HeaterLimitSeconds, double Millicoulombs, double? MillicoulombLimit, int Acknowledgements, int AcknowledgementLimit, double? PermitCeilingVolts);

/// <param name="Do">The work, as the document says it.</param>
/// <param name="Steps">All in all; the others are counts of these.</param>
public sealed record NightJobView(
    string Name, [property: OneOf("screen", "sweep", "family", "soak", "repeat", "warm-up", "explore", "life")] string Do, string PlanName, int Priority, string? Window, string[] After, int Steps, int Waiting, int Running,
    int Passed, int Failed, int Skipped, int NotReached);

/// <param name="Out">Why the tube is left alone for the rest of the night; null where it is not.</param>
public sealed record NightSeatView(int Socket, string Tube, string Type, string? Lot, string? Out);

/// <summary>A step: predicted and happened.</summary>
/// <param name="Step">Place among the steps.</param>
/// <param name="Turn">Of a job that is repeated, from 0.</param>
/// <param name="Attempts">How often it was begun.</param>
/// <param name="Verdict">What came of it or why it was left out; null while nothing did.</param>
public sealed record NightStepView(
    int Step, string Job, int Socket, string Tube, int Turn, [property: OneOf("waiting", "running", "passed", "failed", "skipped", "not-reached")] string State, int Attempts, string? PredictedBeginUtc, string? PredictedEndUtc,
    string? BeganUtc, string? EndedUtc, string? Verdict, string[] Runs);

/// <param name="Total">Steps of the night.</param>
/// <param name="Steps">A page of them, by their place.</param>
public sealed record NightStepsView(string Id, int Total, int From, NightStepView[] Steps);

/// <summary>What a night takes, as predicted. Loads are the most at one time.</summary>
/// <param name="EndsUtc">End of the last step.</param>
/// <param name="HeaterAmps">Of all sockets together, warm; cold heaters draw several times that for a moment. Null where the catalogue does not know a type.</param>
/// <param name="RailAmps">A bound: what resistors and interlock let through.</param>
/// <param name="Millicoulombs">A bound of the charge into grids.</param>
public sealed record NightLoadView(string EndsUtc, double HeaterSeconds, double? HeaterAmps, double? HeaterWatts, double RailAmps, double RailWatts, double Millicoulombs);

/// <summary>A night as it would go.</summary>
/// <param name="OpensUtc">When its window opens, or now.</param>
/// <param name="ClosesUtc">When it closes for good.</param>
/// <param name="Steps">In the order in which they would be begun.</param>
/// <param name="NotReached">What time or limits would not reach.</param>
public sealed record NightPlanView(
    string Name, string TimeZone, string OpensUtc, string ClosesUtc, NightLoadView Load, double? HeaterLimitSeconds, double? MillicoulombLimit, double? PermitCeilingVolts, NightSeatView[] Sockets, PlannedStepView[] Steps,
    MissedStepView[] NotReached);

/// <param name="BeginsUtc">When its tube is heated or cooled for it.</param>
/// <param name="MeasuresUtc">When it measures first.</param>
/// <param name="HighestDriveVolts">A permit is granted for it above 0 V.</param>
public sealed record PlannedStepView(
    string Job, string Do, int Socket, string Tube, int Turn, string BeginsUtc, string MeasuresUtc, string EndsUtc, double RailAmps, double RailWatts, double Millicoulombs, double HighestDriveVolts);

/// <param name="Short">What does not reach: <c>time</c>, <c>heater-time</c> or <c>charge</c>.</param>
public sealed record MissedStepView(string Job, int Socket, string Tube, int Turn, string Why, [property: OneOf("time", "heater-time", "charge")] string Short);

/// <summary>A night on record.</summary>
/// <param name="EndedUtc">Null while it is not over.</param>
public sealed record NightHeadView(string Id, string Rig, string Name, string BegunUtc, string? EndedUtc, string? EndedBecause);

/// <summary>The night moved on: fetch it anew.</summary>
[MessagePackObject]
public sealed record NightChangedView([property: Key("version")] long Version);
