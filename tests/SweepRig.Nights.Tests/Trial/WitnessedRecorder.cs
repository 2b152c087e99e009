using System.IO.Hashing;
using System.Runtime.InteropServices;
using SweepRig.Domain.Interlocks;
using SweepRig.Domain.Runs;

namespace SweepRig.Nights;

/// <summary>
/// Stands between the bench and its store: fails like a full disk when told to, and remembers what the store said that it had, run by run, until the run is closed. After that a
/// check sum of each run is all that is kept, outside of this process's memory.
/// </summary>
/// <param name="store">The real one.</param>
/// <param name="acknowledged">Takes the check sum of each run that is closed.</param>
/// <param name="closed">Told of each run that is closed, with what was acknowledged of it.</param>
internal sealed class WitnessedRecorder(IRunRecorder store, AcknowledgedRuns acknowledged, Action<WitnessedRun> closed) : IRunRecorder
{
    private readonly AcknowledgedRuns _acknowledged = acknowledged;
    private readonly Action<WitnessedRun> _closed = closed;

    /// <summary>From now on nothing can be written, until it is false again.</summary>
    public bool DiskIsFull { get; set; }

    public async ValueTask<IRunRecording> BeginAsync(RunHeader header, CancellationToken cancellationToken)
    {
        ThrowIfFull();
        return new Recording(this, new(header), await store.BeginAsync(header, cancellationToken).ConfigureAwait(false));
    }

    /// <summary>A check sum over a block as it is kept.</summary>
    public static void Sum(XxHash128 sum, SampleBlock block)
    {
        ArgumentNullException.ThrowIfNull(sum);
        ArgumentNullException.ThrowIfNull(block);
        sum.Append(MemoryMarshal.AsBytes<int>([block.Pass, block.FrameIndex, block.Count]));
        sum.Append(MemoryMarshal.AsBytes<long>(block.SampledAtTicks));
        foreach (var column in (ReadOnlySpan<ushort[]>)[block.PointIndex, block.DriveCode, block.AveragedCount, block.Spread, .. block.Codes]) sum.Append(MemoryMarshal.AsBytes<ushort>(column));
        sum.Append(MemoryMarshal.AsBytes<SampleFlags>(block.Flags));
    }

    private void ThrowIfFull()
    {
        if (DiskIsFull) throw new IOException("No space left on device (as the trial has it). Free some.");
    }

    private sealed class Recording(WitnessedRecorder owner, WitnessedRun run, IRunRecording inner) : IRunRecording
    {
        private readonly XxHash128 _sum = new();
        private bool _closed;

        public string RunId => inner.RunId;

        public async ValueTask<long> AppendAsync(IReadOnlyList<SampleBlock> blocks, CancellationToken cancellationToken)
        {
            owner.ThrowIfFull();
            var first = await inner.AppendAsync(blocks, cancellationToken).ConfigureAwait(false);
            foreach (var block in blocks)
            {
                run.Blocks.Add(block);
                Sum(_sum, block);
            }
            return first;
        }

        public async ValueTask TripAsync(Trip trip, CancellationToken cancellationToken)
        {
            owner.ThrowIfFull();
            await inner.TripAsync(trip, cancellationToken).ConfigureAwait(false);
            run.Trips.Add(trip);
        }

        public async ValueTask GapsAsync(IReadOnlyList<Gap> gaps, CancellationToken cancellationToken)
        {
            owner.ThrowIfFull();
            await inner.GapsAsync(gaps, cancellationToken).ConfigureAwait(false);
            run.Gaps.AddRange(gaps);
        }

        public async ValueTask EndAsync(RunState state, DateTimeOffset endedUtc, CancellationToken cancellationToken)
        {
            owner.ThrowIfFull();
            await inner.EndAsync(state, endedUtc, cancellationToken).ConfigureAwait(false);
            run.State = state;
        }

        public async ValueTask DisposeAsync()
        {
            await inner.DisposeAsync().ConfigureAwait(false);
            if (_closed) return;
            _closed = true;
            owner._acknowledged.Add(new(RunId, run.Blocks.Sum(b => (long)b.Count), _sum.GetCurrentHashAsUInt128()));
            owner._closed(run);
        }
    }
}

/// <summary>What the store said that it had of one run.</summary>
internal sealed class WitnessedRun(RunHeader header)
{
    public RunHeader Header => header;

    public List<SampleBlock> Blocks { get; } = [];

    public List<Trip> Trips { get; } = [];

    public List<Gap> Gaps { get; } = [];

    /// <summary>Null where it was never ended.</summary>
    public RunState? State { get; set; }
}
