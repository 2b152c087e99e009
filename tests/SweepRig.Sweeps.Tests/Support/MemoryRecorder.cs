using System.Collections.Concurrent;
using SweepRig.Domain.Interlocks;
using SweepRig.Domain.Runs;

namespace SweepRig.Sweeps.Tests.Support;

/// <summary>Keeps runs in memory and notes each write; its disk can be full from any write on.</summary>
internal sealed class MemoryRecorder(ConcurrentQueue<string> journal) : IRunRecorder
{
    public ConcurrentQueue<Recording> Runs { get; } = new();

    /// <summary>Number of the write, from 1, that fails for want of space; 0 for none. The begin is not counted.</summary>
    public int FailsAt { get; set; }

    public bool FailsToBegin { get; set; }

    public int Writes { get; private set; }

    public ValueTask<IRunRecording> BeginAsync(RunHeader header, CancellationToken cancellationToken)
    {
        if (FailsToBegin) throw new IOException("No space left in runs.db; free some.");
        var recording = new Recording(this, header);
        Runs.Enqueue(recording);
        journal.Enqueue("record begin");
        return ValueTask.FromResult<IRunRecording>(recording);
    }

    private void Write(string what)
    {
        if (++Writes == FailsAt) throw new IOException("No space left in runs.db; free some.");
        journal.Enqueue($"record {what}");
    }

    internal sealed class Recording(MemoryRecorder owner, RunHeader header) : IRunRecording
    {
        public RunHeader Header => header;

        public string RunId => header.Id;

        public List<SampleBlock> Blocks { get; } = [];

        public List<Trip> Trips { get; } = [];

        public List<Gap> Gaps { get; } = [];

        public RunState State { get; private set; } = RunState.Running;

        public bool Disposed { get; private set; }

        public ValueTask<long> AppendAsync(IReadOnlyList<SampleBlock> blocks, CancellationToken cancellationToken)
        {
            owner.Write("append");
            long first = Blocks.Count;
            Blocks.AddRange(blocks);
            return ValueTask.FromResult(first);
        }

        public ValueTask TripAsync(Trip trip, CancellationToken cancellationToken)
        {
            owner.Write("trip");
            Trips.Add(trip);
            return ValueTask.CompletedTask;
        }

        public ValueTask GapsAsync(IReadOnlyList<Gap> gaps, CancellationToken cancellationToken)
        {
            owner.Write("gaps");
            Gaps.AddRange(gaps);
            return ValueTask.CompletedTask;
        }

        public ValueTask EndAsync(RunState state, DateTimeOffset endedUtc, CancellationToken cancellationToken)
        {
            owner.Write($"end {state}");
            State = state;
            return ValueTask.CompletedTask;
        }

        public ValueTask DisposeAsync()
        {
            Disposed = true;
            return ValueTask.CompletedTask;
        }
    }
}
