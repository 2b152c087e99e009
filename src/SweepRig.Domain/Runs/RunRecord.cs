using SweepRig.Domain.Interlocks;

namespace SweepRig.Domain.Runs;

/// <summary>A run as it stands in the store.</summary>
public sealed record RunRecord(
    RunHeader Header,
    RunState State,
    DateTimeOffset? EndedUtc,
    long Samples,
    IReadOnlyList<Trip> Trips,
    IReadOnlyList<Gap> Gaps);

/// <summary>A stored block with its place in the run.</summary>
/// <param name="Sequence">Running number within the run, from 0, without holes.</param>
public sealed record StoredBlock(long Sequence, SampleBlock Block);
