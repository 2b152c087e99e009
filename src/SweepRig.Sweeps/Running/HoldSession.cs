using System.Collections.Concurrent;
using SweepRig.Domain;
using SweepRig.Domain.Interlocks;
using SweepRig.Domain.Runs;

namespace SweepRig.Sweeps.Running;

/// <summary>A hold under way or over: its samples, and who waits for the first of them. It stands where a run has its record, and is kept in memory alone.</summary>
internal sealed class HoldSession(HoldRequest request, TaskCompletionSource<Outcome<HoldProgress>> started) : IRunRecording
{
    /// <summary>Samples before the point counts as held.</summary>
    public const int EnoughSamples = 16;

    private readonly ConcurrentQueue<SampleBlock> _blocks = new();

    public HoldRequest Request => request;

    public TaskCompletionSource<Outcome<HoldProgress>> Started => started;

    /// <summary>When the rig was told to hold, host timestamp; null before.</summary>
    public long? HeldFrom { get; set; }

    public string RunId => "hold";

    public IReadOnlyList<SampleBlock> Blocks => [.. _blocks];

    public ValueTask<long> AppendAsync(IReadOnlyList<SampleBlock> blocks, CancellationToken cancellationToken)
    {
        foreach (var block in blocks) _blocks.Enqueue(block);
        return ValueTask.FromResult(0L);
    }

    public ValueTask TripAsync(Trip trip, CancellationToken cancellationToken) => ValueTask.CompletedTask;

    public ValueTask GapsAsync(IReadOnlyList<Gap> gaps, CancellationToken cancellationToken) => ValueTask.CompletedTask;

    public ValueTask EndAsync(RunState state, DateTimeOffset endedUtc, CancellationToken cancellationToken) => ValueTask.CompletedTask;

    public ValueTask DisposeAsync() => ValueTask.CompletedTask;
}
