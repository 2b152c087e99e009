using System.Threading.Channels;
using SweepRig.Domain.Runs;

namespace SweepRig.Sweeps.Running;

/// <summary>
/// The task that writes one run. All blocks that wait go into one durable append (group commit); only what it returned from is shown. After
/// a failure no further block is written, so that a run never has a hole in its middle; trips, gaps and the end are still tried.
/// </summary>
internal sealed class RecordingPump
{
    private readonly Channel<Item> _items = Channel.CreateUnbounded<Item>(new() { SingleReader = true });
    private readonly IRunRecording _recording;
    private readonly LiveFeed _feed;
    private readonly Action<int> _recorded;
    private readonly Action<Exception> _failed;
    private readonly string _rig;
    private readonly TimeProvider _time;
    private readonly Task _task;
    private int _waiting;
    private bool _broken;

    /// <param name="rig">Name of the rig, for what is counted.</param>
    /// <param name="recorded">Told how many samples each append made durable.</param>
    /// <param name="failed">Told of the first failed append.</param>
    public RecordingPump(IRunRecording recording, LiveFeed feed, string rig, TimeProvider time, Action<int> recorded, Action<Exception> failed)
    {
        (_recording, _feed, _rig, _time, _recorded, _failed) = (recording, feed, rig, time, recorded, failed);
        _task = Task.Run(RunAsync);
    }

    private readonly record struct Item(MeasuredBlock? Block, Func<IRunRecording, ValueTask>? Write, Action<Exception?>? Done);

    /// <summary>Blocks not yet written.</summary>
    public int Waiting => Volatile.Read(ref _waiting);

    public void Append(MeasuredBlock block)
    {
        Interlocked.Increment(ref _waiting);
        SweepTelemetry.BlocksWait(_rig, 1);
        _items.Writer.TryWrite(new(block, null, null));
    }

    /// <summary>Writes something else after all blocks before it.</summary>
    /// <param name="done">Told of the failure, or of null for success.</param>
    public void Write(Func<IRunRecording, ValueTask> write, Action<Exception?> done) => _items.Writer.TryWrite(new(null, write, done));

    /// <summary>Does something once all before it is on record.</summary>
    /// <returns>False once closed.</returns>
    public bool Then(Action action) => _items.Writer.TryWrite(new(null, null, _ => action()));

    /// <summary>Writes what waits, then closes the record.</summary>
    public async Task CloseAsync()
    {
        _items.Writer.TryComplete();
        await _task.ConfigureAwait(false);
    }

    private async Task RunAsync()
    {
        await using (_recording.ConfigureAwait(false))
        {
            var batch = new List<MeasuredBlock>();
            while (await _items.Reader.WaitToReadAsync().ConfigureAwait(false))
            {
                while (_items.Reader.TryRead(out var item))
                {
                    if (item.Block is { } block)
                    {
                        batch.Add(block);
                        continue;
                    }
                    await FlushAsync(batch).ConfigureAwait(false);
                    await WriteAsync(item).ConfigureAwait(false);
                }
                await FlushAsync(batch).ConfigureAwait(false);
            }
        }
    }

    private async Task FlushAsync(List<MeasuredBlock> batch)
    {
        if (batch.Count == 0) return;
        try
        {
            if (_broken) return;
            var from = _time.GetTimestamp();
            var sequence = await _recording.AppendAsync([.. batch.Select(b => b.Samples)], CancellationToken.None).ConfigureAwait(false);
            var took = _time.GetElapsedTime(from);
            var samples = 0;
            foreach (var (block, volts, newest) in batch)
            {
                samples += block.Count;
                _feed.Publish(new LiveUpdate.Block(_recording.RunId, sequence++, block, volts, newest));
            }
            SweepTelemetry.Appended(_rig, batch.Count, samples, took);
            _recorded(samples);
        }
        catch (Exception fault)
        {
            _broken = true;
            _failed(fault);
        }
        finally
        {
            Interlocked.Add(ref _waiting, -batch.Count);
            SweepTelemetry.BlocksWait(_rig, -batch.Count);
            batch.Clear();
        }
    }

    private async Task WriteAsync(Item item)
    {
        Exception? failure = null;
        try
        {
            if (item.Write is not null) await item.Write(_recording).ConfigureAwait(false);
        }
        catch (Exception fault)
        {
            failure = fault;
        }
        item.Done!(failure);
    }
}
