using System.Threading.Channels;
using Polly;
using Polly.Retry;

namespace SweepRig.Service.Watching.Alarms;

/// <summary>
/// The task of one way: brings its messages there, one after another in their order, each tried again with growing pauses for about three hours. A way that does not answer holds up no other.
/// </summary>
public sealed class AlarmLane : IAsyncDisposable
{
    /// <summary>With pauses from 5 s, doubled up to half an hour, this is a little more than three hours.</summary>
    private const int MostRetries = 13;

    private static readonly TimeSpan FirstPause = TimeSpan.FromSeconds(5), LongestPause = TimeSpan.FromMinutes(30);

    private readonly AlarmWay _way;
    private readonly Func<AlarmWay, AlarmMessage, CancellationToken, Task> _send;
    private readonly AlarmJournal _journal;
    private readonly Action<AlarmWay, AlarmMessage, string> _givenUp;
    private readonly TimeProvider _time;
    private readonly ResiliencePipeline _pipeline;
    private readonly Channel<AlarmMessage> _messages = Channel.CreateUnbounded<AlarmMessage>(new() { SingleReader = true });
    private readonly CancellationTokenSource _stopped = new();
    private readonly Task _owner;
    private int _disposed;

    /// <param name="send">Brings a message there; throws an <see cref="AlarmFailedException"/> when it was not taken.</param>
    /// <param name="givenUp">Told of a message that will not be tried again, and why.</param>
    public AlarmLane(AlarmWay way, Func<AlarmWay, AlarmMessage, CancellationToken, Task> send, AlarmJournal journal, Action<AlarmWay, AlarmMessage, string> givenUp, TimeProvider time)
    {
        (_way, _send, _journal, _givenUp, _time) = (way, send, journal, givenUp, time);
        _pipeline = new ResiliencePipelineBuilder { TimeProvider = time }
            .AddRetry(new RetryStrategyOptions
            {
                ShouldHandle = new PredicateBuilder().Handle<AlarmFailedException>(f => !f.IsFinal),
                MaxRetryAttempts = MostRetries,
                BackoffType = DelayBackoffType.Exponential,
                UseJitter = true,
                Delay = FirstPause,
                MaxDelay = LongestPause,
                DelayGenerator = failed => ValueTask.FromResult(failed.Outcome.Exception is AlarmFailedException { RetryAfter: { } wait } ? wait < LongestPause ? wait : LongestPause : (TimeSpan?)null),
            })
            .Build();
        foreach (var waiting in journal.Pending.Where(p => p.Way == way.Name)) _messages.Writer.TryWrite(waiting.Message);
        _owner = Task.Run(RunAsync);
    }

    public AlarmWay Way => _way;

    /// <summary>Never waits. What is not delivered when the service ends is in the journal, and goes out when it starts again.</summary>
    public void Post(AlarmMessage message)
    {
        _journal.Add(_way.Name, message);
        _messages.Writer.TryWrite(message);
    }

    public async ValueTask DisposeAsync()
    {
        if (Interlocked.Exchange(ref _disposed, 1) != 0) return;
        _messages.Writer.TryComplete();
        await _stopped.CancelAsync();
        await _owner;
        _stopped.Dispose();
    }

    private async Task RunAsync()
    {
        try
        {
            await foreach (var message in _messages.Reader.ReadAllAsync(_stopped.Token)) await BringAsync(message);
        }
        catch (OperationCanceledException) when (_stopped.IsCancellationRequested)
        {
            // Stopping.
        }
    }

    private async Task BringAsync(AlarmMessage message)
    {
        try
        {
            await _pipeline.ExecuteAsync(async cancellation => await TryAsync(message, cancellation), _stopped.Token);
            _journal.Finish(_way.Name, message.Id, _time.GetUtcNow(), null);
        }
        catch (AlarmFailedException failure)
        {
            _journal.Finish(_way.Name, message.Id, _time.GetUtcNow(), failure.Message);
            _givenUp(_way, message, failure.Message);
        }
    }

    private async Task TryAsync(AlarmMessage message, CancellationToken cancellationToken)
    {
        try
        {
            await AttemptAsync(_send, _way, message, _time, cancellationToken);
        }
        catch (AlarmFailedException failure)
        {
            _journal.Failed(_way.Name, message.Id, failure.Message);
            throw;
        }
    }

    /// <summary>One attempt within the time that the way is given.</summary>
    /// <exception cref="AlarmFailedException">It was not taken.</exception>
    public static async Task AttemptAsync(Func<AlarmWay, AlarmMessage, CancellationToken, Task> send, AlarmWay way, AlarmMessage message, TimeProvider time, CancellationToken cancellationToken)
    {
        using var limit = new CancellationTokenSource(way.Timeout, time);
        using var either = CancellationTokenSource.CreateLinkedTokenSource(limit.Token, cancellationToken);
        try
        {
            await send(way, message, either.Token);
        }
        catch (OperationCanceledException) when (!cancellationToken.IsCancellationRequested)
        {
            throw new AlarmFailedException(FormattableString.Invariant($"{way.Where} did not answer within {way.Timeout.TotalSeconds:0.#} s"), isFinal: false);
        }
        catch (Exception fault) when (fault is not (AlarmFailedException or OperationCanceledException))
        {
            // A fault that nobody foresaw must not end the way for the rest of the night.
            throw new AlarmFailedException($"{way.Where}: {fault.Message.ReplaceLineEndings(" ").TrimEnd('.')}", isFinal: false, inner: fault);
        }
    }
}
