using SweepRig.Domain.Interlocks;
using SweepRig.Domain.Runs;

namespace SweepRig.Wire.Campaign;

/// <summary>Keeps in memory what a run put on record.</summary>
internal sealed class SweepRecord(RunHeader header) : IRunRecording
{
    public RunHeader Header => header;

    public string RunId => header.Id;

    public List<SampleBlock> Blocks { get; } = [];

    public List<Trip> Trips { get; } = [];

    public List<Gap> Gaps { get; } = [];

    public ValueTask<long> AppendAsync(IReadOnlyList<SampleBlock> blocks, CancellationToken cancellationToken)
    {
        long first = Blocks.Count;
        Blocks.AddRange(blocks);
        return ValueTask.FromResult(first);
    }

    public ValueTask TripAsync(Trip trip, CancellationToken cancellationToken)
    {
        Trips.Add(trip);
        return ValueTask.CompletedTask;
    }

    public ValueTask GapsAsync(IReadOnlyList<Gap> gaps, CancellationToken cancellationToken)
    {
        Gaps.AddRange(gaps);
        return ValueTask.CompletedTask;
    }

    public ValueTask EndAsync(RunState state, DateTimeOffset endedUtc, CancellationToken cancellationToken) => ValueTask.CompletedTask;

    public ValueTask DisposeAsync() => ValueTask.CompletedTask;
}

internal sealed class SweepRecorder : IRunRecorder
{
    public List<SweepRecord> Runs { get; } = [];

    public ValueTask<IRunRecording> BeginAsync(RunHeader header, CancellationToken cancellationToken)
    {
        Runs.Add(new(header));
        return ValueTask.FromResult<IRunRecording>(Runs[^1]);
    }
}
