using System.Collections.Concurrent;
using System.Threading.Channels;

namespace SweepRig.Sweeps.Running;

/// <summary>
/// The messages of the one task that owns a bench. Each runs to its end before the next and never waits; urgent ones go first.
/// </summary>
internal sealed class Mailbox(Action<Exception> onFault)
{
    private readonly Channel<Action> _messages = Channel.CreateUnbounded<Action>(new() { SingleReader = true });
    private readonly ConcurrentQueue<Action> _urgent = new();

    /// <returns>False once closed.</returns>
    public bool Post(Action message) => _messages.Writer.TryWrite(message);

    public bool PostUrgent(Action message)
    {
        _urgent.Enqueue(message);
        // The nudge wakes the reader; by the time it is read the message may have been handled.
        return _messages.Writer.TryWrite(static () => { });
    }

    public void Close() => _messages.Writer.TryComplete();

    public async Task RunAsync()
    {
        while (await _messages.Reader.WaitToReadAsync().ConfigureAwait(false))
        {
            while (_messages.Reader.TryRead(out var message))
            {
                while (_urgent.TryDequeue(out var urgent)) Handle(urgent);
                Handle(message);
            }
        }
    }

    private void Handle(Action message)
    {
        try
        {
            message();
        }
        catch (Exception fault)
        {
            onFault(fault);
        }
    }
}
