using System.Diagnostics;
using System.Diagnostics.Metrics;
using SweepRig.Domain;
using SweepRig.Domain.Interlocks;
using SweepRig.Domain.Runs;

namespace SweepRig.Sweeps.Running;

/// <summary>
/// What runners count and trace. Nobody listening, each costs a look at a field; it is counted once an append, never once a sample. Names and units follow
/// the OpenTelemetry semantic conventions ("General metric semantic conventions", units by UCUM).
/// </summary>
public static class SweepTelemetry
{
    public const string Name = "SweepRig.Sweeps";

    private const string Rig = "sweeprig.rig.name";

    private static readonly Meter Meter = new(Name);
    private static readonly ActivitySource Source = new(Name);

    private static readonly Counter<long> Samples = Meter.CreateCounter<long>("sweeprig.samples", "{sample}", "Samples made durable.");
    private static readonly Counter<long> Blocks = Meter.CreateCounter<long>("sweeprig.blocks", "{block}", "Blocks of samples made durable.");
    private static readonly Counter<long> Runs = Meter.CreateCounter<long>("sweeprig.runs", "{run}", "Runs that ended, by how.");
    private static readonly Counter<long> Trips = Meter.CreateCounter<long>("sweeprig.trips", "{trip}", "Trips, by cause.");
    private static readonly Counter<long> Refusals = Meter.CreateCounter<long>("sweeprig.refusals", "{refusal}", "Reasons for which something was refused.");
    private static readonly UpDownCounter<long> Waiting = Meter.CreateUpDownCounter<long>("sweeprig.recording.blocks", "{block}", "Blocks that wait to be made durable.");

    private static readonly Histogram<double> Writes = Meter.CreateHistogram(
        "sweeprig.store.write.duration", "s", "Time until an append of blocks is durable.", tags: null,
        new InstrumentAdvice<double> { HistogramBucketBoundaries = [0.001, 0.0025, 0.005, 0.01, 0.025, 0.05, 0.1, 0.25, 0.5, 1, 2.5, 5, 10] });

    internal static void Appended(string rig, int blocks, int samples, TimeSpan took)
    {
        var of = KeyValuePair.Create<string, object?>(Rig, rig);
        Samples.Add(samples, of);
        Blocks.Add(blocks, of);
        Writes.Record(took.TotalSeconds, of);
    }

    internal static void BlocksWait(string rig, int change) => Waiting.Add(change, KeyValuePair.Create<string, object?>(Rig, rig));

    internal static void Ended(string rig, RunState state) => Runs.Add(1, KeyValuePair.Create<string, object?>(Rig, rig), KeyValuePair.Create<string, object?>("sweeprig.run.state", Word(state)));

    internal static void Tripped(string rig, Trip trip) => Trips.Add(
        1, KeyValuePair.Create<string, object?>(Rig, rig), KeyValuePair.Create<string, object?>("sweeprig.trip.cause", Word(trip.Cause)),
        KeyValuePair.Create<string, object?>("sweeprig.trip.by", trip.ByRig ? "rig" : "host"));

    internal static void Refused(string rig, IReadOnlyList<Refusal> reasons)
    {
        foreach (var reason in reasons) Refusals.Add(1, KeyValuePair.Create<string, object?>(Rig, rig), KeyValuePair.Create<string, object?>("sweeprig.refusal.code", reason.Code));
    }

    /// <summary>Begins a part of a trace, and leaves the current one of the task as it is: an owner task goes on to other things.</summary>
    /// <param name="parent">Null for the beginning of a trace.</param>
    /// <returns>Null when nobody listens.</returns>
    internal static Activity? Begin(string name, Activity? parent)
    {
        var current = Activity.Current;
        if (parent is null) Activity.Current = null;
        var begun = Source.StartActivity(name, ActivityKind.Internal, parent?.Context ?? default);
        Activity.Current = current;
        return begun;
    }

    internal static string Word<T>(T value)
        where T : struct, Enum => System.Text.Json.JsonNamingPolicy.KebabCaseLower.ConvertName(value.ToString());
}
