using SweepRig.Domain.Interlocks;
using SweepRig.Domain.Runs;
using SweepRig.Service.Contract;
using SweepRig.Service.Live;

namespace SweepRig.Service.Mornings;

/// <summary>What a morning report says of the runs of a night. They are told one by one, the newest first, and let go: a night has many thousand of them.</summary>
public sealed class MorningRuns
{
    private readonly Dictionary<string, Rig> _rigs = new(StringComparer.Ordinal);
    private readonly Dictionary<string, Tube> _tubes = new(StringComparer.Ordinal);
    private readonly List<MorningTripView> _trips = [];

    /// <summary>How many were told.</summary>
    public int Count { get; private set; }

    /// <summary>What each rig did, in the order of their serial numbers.</summary>
    public RigWorkView[] Work() =>
    [
        .. _rigs.OrderBy(r => r.Key, StringComparer.Ordinal).Select(r => new RigWorkView(
            r.Key, r.Value.States.Values.Sum(), r.Value.Of(RunState.Complete), r.Value.Of(RunState.Stopped), r.Value.Of(RunState.Tripped), r.Value.Of(RunState.Incomplete),
            r.Value.Samples, r.Value.MissingPoints, r.Value.Tubes.Count)),
    ];

    /// <summary>Trips of the runs, not in order.</summary>
    public IEnumerable<MorningTripView> Trips => _trips;

    /// <summary>The newest whole sweep of each tube that has one, in the order in which they were first swept.</summary>
    public RunHeader[] NewestSweeps() => [.. _tubes.Values.OrderBy(t => t.FirstSweep, StringComparer.Ordinal).Select(t => t.Newest)];

    /// <param name="run">Older than all told before.</param>
    public void Add(RunRecord run)
    {
        ArgumentNullException.ThrowIfNull(run);
        Count++;
        var header = run.Header;
        if (!_rigs.TryGetValue(header.Rig.SerialNumber, out var rig)) _rigs[header.Rig.SerialNumber] = rig = new();
        rig.Add(run);
        _trips.AddRange(run.Trips.Select(trip => Trip(header, trip)));
        if (header.Screening is not null || run.State != RunState.Complete) return;
        _tubes[header.Tube.Label] = _tubes.TryGetValue(header.Tube.Label, out var tube) ? tube with { FirstSweep = header.Id } : new(header, header.Id);
    }

    private static MorningTripView Trip(RunHeader header, Trip trip)
    {
        var advice = TripGuide.For(trip.Cause);
        var figures = trip.Measured.Length == 0 ? "" : trip.Limit.Length == 0 ? $" ({trip.Measured})" : $" ({trip.Measured}, limit {trip.Limit})";
        return new(BenchViews.Utc(trip.OccurredUtc), header.Rig.SerialNumber, header.Id, header.Tube.Label, $"{advice.Title}{figures}", $"{advice.LikelyCause} {advice.Remedy}");
    }

    private sealed record Tube(RunHeader Newest, string FirstSweep);

    private sealed class Rig
    {
        public Dictionary<RunState, int> States { get; } = [];

        public HashSet<string> Tubes { get; } = new(StringComparer.Ordinal);

        public long Samples { get; private set; }

        public long MissingPoints { get; private set; }

        public int Of(RunState state) => States.GetValueOrDefault(state);

        public void Add(RunRecord run)
        {
            States[run.State] = Of(run.State) + 1;
            Tubes.Add(run.Header.Tube.Label);
            Samples += run.Samples;
            MissingPoints += run.Gaps.Sum(g => (long)g.Points);
        }
    }
}
