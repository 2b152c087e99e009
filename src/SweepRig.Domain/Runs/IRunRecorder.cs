using SweepRig.Domain.Interlocks;

namespace SweepRig.Domain.Runs;

/// <summary>Opens the record of a run. What a method of it returned from is durable.</summary>
public interface IRunRecorder
{
    /// <exception cref="IOException">The record cannot be written, for example a full disk. The message names the file and the remedy.</exception>
    ValueTask<IRunRecording> BeginAsync(RunHeader header, CancellationToken cancellationToken);
}

/// <summary>The open record of one run. Used by one task at a time. Disposing without an end leaves the run marked incomplete.</summary>
public interface IRunRecording : IAsyncDisposable
{
    string RunId { get; }

    /// <summary>Writes the blocks in one transaction.</summary>
    /// <returns>The sequence number given to the first of them; the others follow.</returns>
    /// <exception cref="IOException">As for <see cref="IRunRecorder.BeginAsync"/>; nothing of this call is stored, all before it is kept.</exception>
    ValueTask<long> AppendAsync(IReadOnlyList<SampleBlock> blocks, CancellationToken cancellationToken);

    ValueTask TripAsync(Trip trip, CancellationToken cancellationToken);

    ValueTask GapsAsync(IReadOnlyList<Gap> gaps, CancellationToken cancellationToken);

    ValueTask EndAsync(RunState state, DateTimeOffset endedUtc, CancellationToken cancellationToken);
}
