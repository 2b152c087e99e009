using System.Globalization;
using SweepRig.Domain.Interlocks;
using SweepRig.Domain.Quantities;
using SweepRig.Domain.Runs;
using SweepRig.Domain.Tubes;
using SweepRig.Storage.Blocks;
using SweepRig.Storage.Headers;
using SweepRig.Storage.Schema;

namespace SweepRig.Storage;

/// <summary>Between the words of the domain and the rows of the tables.</summary>
internal static class RunRows
{
    public const string Running = "running";
    public const string Incomplete = "incomplete";

    /// <param name="bench">That records it; null where it was none of this store.</param>
    /// <param name="plan">Number of the plan among the shared texts.</param>
    /// <param name="setup">Number of the setup there.</param>
    /// <param name="rest">The rest of the header.</param>
    public static RunRow From(RunHeader header, string? bench, long plan, long setup, string rest) => new()
    {
        Id = header.Id,
        Started = Text(header.StartedUtc),
        State = Running,
        TubeLabel = header.Tube.Label,
        TubeType = header.Tube.TypeName,
        Lot = header.Tube.Lot,
        Socket = header.Socket,
        Bench = bench,
        Screening = header.Screening?.ScreeningId,
        Plan = "",
        PlanText = plan,
        Header = rest,
        SetupText = setup,
    };

    public static BlockRow From(long run, long sequence, SampleBlock block) => new()
    {
        Run = run,
        Sequence = sequence,
        Pass = block.Pass,
        FrameIndex = block.FrameIndex,
        Samples = block.Count,
        Data = BlockBlob.Encode(block),
    };

    public static TripRow From(long run, Trip trip) => new()
    {
        Run = run,
        Cause = (int)trip.Cause,
        ByRig = trip.ByRig,
        Measured = trip.Measured,
        Limit = trip.Limit,
        Occurred = Text(trip.OccurredUtc),
        RigMicroseconds = trip.RigTime?.Microseconds,
    };

    public static GapRow From(long run, Gap gap) => new()
    {
        Run = run,
        Pass = gap.Pass,
        FirstPoint = gap.FirstPoint,
        Points = gap.Points,
        Reason = gap.Reason,
    };

    /// <exception cref="InvalidDataException">A column is damaged or of a later format.</exception>
    public static RunRecord ToRecord(RunRow row, IEnumerable<TripRow> trips, IEnumerable<GapRow> gaps, IReadOnlyDictionary<long, string>? texts = null)
    {
        var header = row.SetupText is { } setup ? HeaderJson.ReadHeader(Shared(texts, setup), row.Header) : HeaderJson.ReadHeader(row.Header);
        var plan = HeaderJson.ReadPlan(row.PlanText is { } shared ? Shared(texts, shared) : row.Plan);
        var state = ToState(row.State);
        PassHeader[] passes = [.. header.Passes.Select(p => p.ToPass())];
        Gap[] missing = [.. gaps.Select(g => new Gap(g.Pass, g.FirstPoint, g.Points, g.Reason))];
        return new(
            new RunHeader(
                row.Id,
                Time(row.Started),
                new Tube(row.TubeLabel, row.TubeType, row.Lot),
                row.Socket,
                plan,
                plan.Adaptive is null || state == RunState.Running ? passes : Begun(passes, row.Samples + missing.Sum(g => g.Points)),
                header.Calibration.ToCalibration(),
                header.Rig.ToIdentity(),
                header.SoftwareVersion,
                header.Permit?.ToPermit())
            {
                Screening = header.Screening?.ToTag(),
                Study = header.Study?.ToTag(),
            },
            state,
            row.Ended is { } ended ? Time(ended) : null,
            row.Samples,
            [.. trips.Select(t => new Trip(
                (TripCause)t.Cause, t.ByRig, t.Measured, t.Limit, Time(t.Occurred), t.RigMicroseconds is { } us ? new RigTime(us) : null))],
            missing);
    }

    private static string Shared(IReadOnlyDictionary<long, string>? texts, long number) =>
        texts is not null && texts.TryGetValue(number, out var body) ? body : throw new InvalidDataException($"Text {number}, which it shares with others, is gone.");

    // An adaptive sweep ends when enough is known: passes that it did not need are none of the run.
    private static PassHeader[] Begun(PassHeader[] passes, long points)
    {
        var begun = 0;
        for (long before = 0; begun < passes.Length && before < points; begun++) before += passes[begun].Points;
        return passes[..begun];
    }

    public static string Text(RunState state) => state switch
    {
        RunState.Running => Running,
        RunState.Complete => "complete",
        RunState.Stopped => "stopped",
        RunState.Tripped => "tripped",
        RunState.Incomplete => Incomplete,
        _ => throw new InvalidOperationException($"SweepRig bug: run state {state} has no stored word."),
    };

    public static string Text(DateTimeOffset time) => time.UtcDateTime.ToString("yyyy-MM-dd'T'HH:mm:ss.fffffff'Z'", CultureInfo.InvariantCulture);

    private static RunState ToState(string word) => word switch
    {
        Running => RunState.Running,
        "complete" => RunState.Complete,
        "stopped" => RunState.Stopped,
        "tripped" => RunState.Tripped,
        Incomplete => RunState.Incomplete,
        _ => throw new InvalidDataException($"Run state '{word}' is unknown."),
    };

    public static DateTimeOffset Time(string text) =>
        DateTimeOffset.TryParseExact(text, "yyyy-MM-dd'T'HH:mm:ss.fffffff'Z'", CultureInfo.InvariantCulture, DateTimeStyles.AssumeUniversal, out var time)
            ? time
            : throw new InvalidDataException($"Time '{text}' is not readable.");
}
