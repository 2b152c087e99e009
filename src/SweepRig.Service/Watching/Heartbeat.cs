using System.Text.Json;
using SweepRig.Domain.Logging;
using SweepRig.Domain.Watching;
using SweepRig.Service.Live;
using SweepRig.Service.Stations;
using SweepRig.Service.Watching.Alarms;

namespace SweepRig.Service.Watching;

/// <summary>
/// A sign of life while the service is well: each rig's owner task answers, and the watch takes events. A machine that has lost its power cannot raise an alarm; that the sign no longer comes
/// is how the outside learns of it, so whoever receives it must raise one when it stays away for some periods.
/// </summary>
public sealed class Heartbeat : IAsyncDisposable
{
    private static readonly TimeSpan AnswerWithin = TimeSpan.FromSeconds(5);
    private static readonly TimeSpan BeatWithin = TimeSpan.FromSeconds(15);

    private readonly Func<HeartbeatConfig?> _config;
    private readonly StationList _stations;
    private readonly Func<Uri, byte[], CancellationToken, Task> _beat;
    private readonly IWatch _watch;
    private readonly TimeProvider _time;
    private readonly ILogger _logger;
    private readonly CancellationTokenSource _stopped = new();
    private readonly Task _owner;
    private bool _failing;
    private int _disposed;

    /// <param name="config">What is in force when a sign is due; null while none is to be given.</param>
    /// <param name="beat">Posts a sign of life; throws an <see cref="AlarmFailedException"/> when it was not taken.</param>
    public Heartbeat(Func<HeartbeatConfig?> config, StationList stations, Func<Uri, byte[], CancellationToken, Task> beat, IWatch watch, TimeProvider time, ILogger logger)
    {
        (_config, _stations, _beat, _watch, _time, _logger) = (config, stations, beat, watch, time, logger);
        _owner = Task.Run(RunAsync);
    }

    /// <summary>When the last sign went out; null before the first.</summary>
    public DateTimeOffset? LastUtc { get; private set; }

    public async ValueTask DisposeAsync()
    {
        if (Interlocked.Exchange(ref _disposed, 1) != 0) return;
        await _stopped.CancelAsync();
        await _owner;
        _stopped.Dispose();
    }

    private async Task RunAsync()
    {
        using var timer = new PeriodicTimer(_config()?.Every ?? AlarmDesk.LookEvery, _time);
        try
        {
            do
            {
                var config = _config();
                var period = config?.Every ?? AlarmDesk.LookEvery;
                if (timer.Period != period) timer.Period = period;
                var fault = config is null ? null : await UnwellAsync() ?? await SendAsync(config);
                if (config is not null && fault is null) LastUtc = _time.GetUtcNow();
                // Told once, and again after it was well between: the outside hears nothing meanwhile, which is the alarm.
                if (fault is not null && !_failing)
                {
                    _logger.LogWarning(LogEvents.NoSignOfLife, "No sign of life: {Fault}", fault);
                    _watch.Post(BenchEvent.Of(_time.GetUtcNow(), null, EventSeverity.Warning, EventKind.HeartbeatMissed, $"No sign of life was given: {fault}.", "Whoever waits for it will take this machine for dead."));
                }
                _failing = fault is not null;
            }
            while (await timer.WaitForNextTickAsync(_stopped.Token));
        }
        catch (Exception fault) when (fault is ObjectDisposedException || (fault is OperationCanceledException && _stopped.IsCancellationRequested))
        {
            // Stopping: the rigs are let go first.
        }
    }

    /// <returns>What does not answer; null when all do.</returns>
    private async Task<string?> UnwellAsync()
    {
        foreach (var station in _stations)
        {
            try
            {
                // Any question will do that only the owner task can answer.
                await station.Runner.ReadHoldAsync(_stopped.Token).WaitAsync(AnswerWithin, _time, _stopped.Token);
            }
            catch (TimeoutException)
            {
                return $"the task of {station.Name} does not answer";
            }
        }
        return null;
    }

    /// <returns>What failed; null when the sign went out.</returns>
    private async Task<string?> SendAsync(HeartbeatConfig config)
    {
        var body = JsonSerializer.SerializeToUtf8Bytes(new { utc = BenchViews.Utc(_time.GetUtcNow()), bench = Environment.MachineName, rigs = _stations.Count });
        using var limit = new CancellationTokenSource(BeatWithin, _time);
        using var either = CancellationTokenSource.CreateLinkedTokenSource(limit.Token, _stopped.Token);
        try
        {
            if (config.File is { } file)
            {
                await File.WriteAllBytesAsync(file + ".new", body, either.Token);
                File.Move(file + ".new", file, overwrite: true);
            }
            if (config.Url is { } url) await _beat(url, body, either.Token);
            return null;
        }
        catch (OperationCanceledException) when (!_stopped.IsCancellationRequested)
        {
            return $"{config.Url?.Host ?? config.File} did not answer within {BeatWithin.TotalSeconds:0} s";
        }
        catch (Exception fault) when (fault is AlarmFailedException or IOException or UnauthorizedAccessException)
        {
            return fault.Message.TrimEnd('.');
        }
    }
}
