using System.Threading.Channels;

namespace SweepRig.Service.Stations;

/// <summary>
/// The one task that owns what a desk knows: it handles what people ask, what others tell and ticks, one message after another. What was not begun when it is disposed is not begun.
/// Safe from any thread.
/// </summary>
public sealed class DeskTask : IAsyncDisposable
{
    private readonly object _desk;
    private readonly Func<Task> _tick;
    private readonly Action<Exception> _failed;
    private readonly Channel<Func<Task>> _messages = Channel.CreateUnbounded<Func<Task>>(new() { SingleReader = true });
    private readonly CancellationTokenSource _stopped = new();
    private readonly ITimer _ticker;
    private readonly Task _owner;
    private int _tickWaiting;

    /// <param name="desk">Whose task it is; whoever asks a desk that is disposed is told of that.</param>
    /// <param name="tick">What a tick does, on the task; at most one waits.</param>
    /// <param name="failed">Told on the task of a message that failed; the next is handled all the same.</param>
    public DeskTask(object desk, TimeProvider time, Func<Task> tick, Action<Exception> failed)
    {
        ArgumentNullException.ThrowIfNull(time);
        (_desk, _tick, _failed) = (desk, tick, failed);
        Stopped = _stopped.Token;
        _ticker = time.CreateTimer(_ => PostTick(), null, Timeout.InfiniteTimeSpan, Timeout.InfiniteTimeSpan);
        _owner = Task.Run(RunAsync);
    }

    /// <summary>Cancelled when the desk is disposed.</summary>
    public CancellationToken Stopped { get; }

    public void Tick(TimeSpan first, TimeSpan every) => _ticker.Change(first, every);

    public void TickNoMore() => _ticker.Change(Timeout.InfiniteTimeSpan, Timeout.InfiniteTimeSpan);

    /// <summary>To be handled in its turn; dropped where the desk is disposed.</summary>
    public void Post(Func<Task> message) => _messages.Writer.TryWrite(message);

    /// <summary>Handled in its turn; a fault goes to the asker, and to the desk as that of any message.</summary>
    /// <exception cref="ObjectDisposedException">The desk is disposed, or was before the answer.</exception>
    public async Task<T> AskAsync<T>(Func<Task<T>> act, CancellationToken cancellationToken)
    {
        var answer = new TaskCompletionSource<T>(TaskCreationOptions.RunContinuationsAsynchronously);
        var taken = _messages.Writer.TryWrite(async () =>
        {
            try
            {
                answer.TrySetResult(await act());
            }
            catch (Exception fault)
            {
                answer.TrySetException(fault);
                throw;
            }
        });
        ObjectDisposedException.ThrowIf(!taken, _desk);
        await using var ended = Stopped.Register(() => answer.TrySetException(new ObjectDisposedException(_desk.GetType().Name)));
        return await answer.Task.WaitAsync(cancellationToken);
    }

    public async ValueTask DisposeAsync()
    {
        if (_stopped.IsCancellationRequested) return;
        await _stopped.CancelAsync();
        await _ticker.DisposeAsync();
        _messages.Writer.TryComplete();
        await _owner;
        _stopped.Dispose();
    }

    private async Task RunAsync()
    {
        await foreach (var message in _messages.Reader.ReadAllAsync())
        {
            if (_stopped.IsCancellationRequested) continue;
            try
            {
                await message();
            }
            catch (Exception) when (_stopped.IsCancellationRequested)
            {
                // Stopping.
            }
            catch (Exception fault)
            {
                _failed(fault);
            }
        }
    }

    private void PostTick()
    {
        if (Interlocked.Exchange(ref _tickWaiting, 1) == 0) _messages.Writer.TryWrite(TickAsync);
    }

    private Task TickAsync()
    {
        Volatile.Write(ref _tickWaiting, 0);
        return _tick();
    }
}
