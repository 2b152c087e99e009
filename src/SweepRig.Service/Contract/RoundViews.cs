using System.Text.Json;

namespace SweepRig.Service.Contract;

/// <summary>Request: begin a round.</summary>
/// <param name="Plan">A sweep plan document, or the name of an example as a string; made of each tube.</param>
/// <param name="Lot">Tubes of this lot; null for any.</param>
/// <param name="Tubes">These numbers, screened before or not; empty for all that are new.</param>
/// <param name="Sockets">From 0; empty for all of the rig.</param>
public sealed record BeginRoundRequest(JsonElement Plan, string? Lot = null, string[]? Tubes = null, int[]? Sockets = null);

/// <summary>Request: what the operator typed or scanned.</summary>
/// <param name="Text">
/// Empty: what was asked for is done. A number: that tube is at hand. <c>s2</c>: it is in socket 2. <c>pull s2</c>, <c>aside [NUMBER] WHY</c>, <c>again NUMBER</c>; on a question
/// <c>keep</c>, <c>type TYPE</c> or <c>again</c>; after a trip <c>acknowledge</c>; <c>end</c>.
/// </param>
public sealed record RoundEntryRequest(string Text);

/// <param name="Round">The round under way, or the last one since the service started; null before the first.</param>
public sealed record RoundStatusView(RoundView? Round);

/// <summary>A screening round. Times in seconds.</summary>
/// <param name="Version">Higher at each change.</param>
/// <param name="IsOver">Nothing of it goes on.</param>
/// <param name="IsFinished">Every tube is done.</param>
/// <param name="Held">Why nothing can be swept; null where something can.</param>
/// <param name="Asks">What is asked of the operator, the most pressing first; never empty.</param>
/// <param name="Waiting">Numbers not in a socket yet, in the order in which they are asked for.</param>
/// <param name="Results">In the order in which they were done.</param>
public sealed record RoundView(
    string Id, long Version, string? Lot, string PlanName, string BegunUtc, bool IsOver, bool IsFinished, string? Held, RoundAskView[] Asks, RoundSocketView[] Sockets, string[] Waiting,
    RoundResultView[] Results, LeftOutView[] LeftOut, int Tubes, RoundPaceView Pace);

/// <param name="Kind"><c>place</c>: plug a tube in. <c>answer</c>: a type is doubted. <c>mend</c>: nothing can be swept until something is done. <c>wait</c>: nothing now. <c>over</c>: nothing more.</param>
/// <param name="Text">For people, one or two sentences.</param>
/// <param name="Tube">The number it is about.</param>
/// <param name="Removes">Number of the tube that comes out of the socket first.</param>
/// <param name="Entries">Lines that answer it, for buttons; the first is the usual one.</param>
public sealed record RoundAskView(
    [property: OneOf("place", "answer", "mend", "wait", "over")] string Kind, string Text, string? Tube, int? Socket, string? Removes, string[] Entries);

/// <param name="Phase"><c>empty</c>, <c>warming</c>, <c>warm</c>, <c>sweeping</c>, <c>judging</c>, <c>doubted</c> or <c>done</c>.</param>
/// <param name="SecondsLeft">Until it is warm; null where that is not waited for or not known.</param>
public sealed record RoundSocketView(
    int Socket, [property: OneOf("empty", "warming", "warm", "sweeping", "judging", "doubted", "done")] string Phase, string? Tube, string? Type, double? SecondsLeft, string? RunId, string? Verdict);

/// <param name="RunId">Null where the tube was put aside before its sweep.</param>
public sealed record RoundResultView(string Tube, string Type, string? RunId, string Verdict, double AtSeconds);

/// <summary>A tube that was wished for and is not swept.</summary>
public sealed record LeftOutView(string Tube, string Reason);

/// <summary>How fast the round goes, against how fast it could.</summary>
/// <param name="Done">Tubes swept.</param>
/// <param name="ElapsedSeconds">From the begin to the last of them.</param>
/// <param name="TubesPerHour">So far; null before the first.</param>
/// <param name="BoundTubesPerHour">Of a long round with this warm-up, these sockets, and sweep and hand as fast as they were; null before the first.</param>
/// <param name="LeastSeconds">Least time for as many tubes; null before the first.</param>
/// <param name="LimitedBy">What a long round waits for: <c>warm-up</c>, <c>sweep</c> or <c>handling</c>.</param>
/// <param name="SweepSeconds">Median.</param>
/// <param name="HandlingSeconds">Median, from when there was room for a tube to when it was in.</param>
public sealed record RoundPaceView(
    int Done, double ElapsedSeconds, double? TubesPerHour, double? BoundTubesPerHour, double? LeastSeconds, [property: OneOf("warm-up", "sweep", "handling")] string? LimitedBy, double WarmUpSeconds,
    double? SweepSeconds, double? HandlingSeconds);
