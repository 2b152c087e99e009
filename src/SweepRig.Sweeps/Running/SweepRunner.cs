using System.Collections.Concurrent;
using Microsoft.Extensions.Logging;
using SweepRig.Domain;
using SweepRig.Domain.Interlocks;
using SweepRig.Domain.Logging;
using SweepRig.Domain.Quantities;
using SweepRig.Domain.Runs;
using SweepRig.Rigs;
using SweepRig.Rigs.Calibration;
using SweepRig.Sweeps.Interlocks;
using SweepRig.Sweeps.Screening;

namespace SweepRig.Sweeps.Running;

/// <summary>
/// The owner of a bench. One task handles commands, rig events, answers of the rig and ticks, one message after another, and never waits in
/// between: a question to the rig is sent off, and its answer is another message. A second task writes the run.
/// </summary>
/// <remarks>
/// The plate rail is on from the first pass of a run to its last and off otherwise; the heater stays on after a run, until it is switched
/// off or the operator makes the bench safe. A heater whose voltage is stepped is given its warming time at each step.
/// </remarks>
public sealed partial class SweepRunner : ISweepRunner, IBeats, IAsyncDisposable
{
    /// <summary>Newest runs whose end can be waited for: of one before them the record tells.</summary>
    private const int RunsRemembered = 64;

    private static readonly TimeSpan TickEvery = TimeSpan.FromMilliseconds(100);
    private static readonly TimeSpan ShutdownLimit = TimeSpan.FromSeconds(5);

    private readonly IRig _rig;
    private readonly IRunRecorder _recorder;
    private readonly RunnerOptions _options;
    private readonly TimeProvider _time;
    private readonly ILogger _logger;
    private readonly HostClock _clock;
    private readonly Mailbox _mailbox;
    private readonly ConcurrentDictionary<string, Task<RunState>> _runs = new(StringComparer.Ordinal);
    private readonly CancellationTokenSource _stopped = new();
    private readonly ITimer _ticker;
    private readonly ITimer _permitTimer;

    // Everything from here on belongs to the owner task, but for _state, which it alone writes.
    private volatile BenchState _state;
    private InterlockState _interlock = InterlockState.Initial;
    private RunSession? _run;
    private Calibrator? _calibrator;
    private Task _lastClosed = Task.CompletedTask;
    private Task _owner = Task.CompletedTask;
    private Task _pump = Task.CompletedTask;
    private int _tickWaiting;
    private int _unanswered;
    private bool _started;
    private bool _shuttingDown;
    private bool _disposed;

    public SweepRunner(IRig rig, IRunRecorder recorder, RunnerOptions options, TimeProvider time, ILogger<SweepRunner> logger)
    {
        (_rig, _recorder, _options, _time, _logger) = (rig, recorder, options, time, logger);
        _clock = new(time);
        _socket = options.DefaultSocket;
        _mailbox = new(OnBug);
        _state = Picture();
        _ticker = time.CreateTimer(_ => PostTick(), null, Timeout.InfiniteTimeSpan, Timeout.InfiniteTimeSpan);
        _permitTimer = time.CreateTimer(_ => PostTick(), null, Timeout.InfiniteTimeSpan, Timeout.InfiniteTimeSpan);
    }

    public BenchState State => _state;

    public LiveFeed Feed { get; } = new();

    /// <summary>Questions that the rig has not answered yet, or whose answer is not yet among the messages.</summary>
    internal int Unanswered => Volatile.Read(ref _unanswered);

    /// <summary>Starts the rig's owner and this one. Call once; commands given before wait.</summary>
    public void Start()
    {
        if (_started) throw new InvalidOperationException("SweepRig bug: the runner was started twice.");
        _started = true;
        _owner = Task.Run(_mailbox.RunAsync);
        _pump = Task.Run(PumpEventsAsync);
        _rig.Start();
        _ticker.Change(TickEvery, TickEvery);
    }

    public Task<Outcome<PlannedRun>> CheckAsync(SweepRequest request, CancellationToken cancellationToken) =>
        AskAsync<Outcome<PlannedRun>>(answer => Check(request, answer), cancellationToken);

    public Task<Outcome<RunHeader>> StartAsync(SweepRequest request, CancellationToken cancellationToken) =>
        AskAsync<Outcome<RunHeader>>(answer => StartRun(request, answer), cancellationToken);

    public Task<Outcome<RunHeader>> StartStepAsync(ScreeningRequest request, CancellationToken cancellationToken) =>
        AskAsync<Outcome<RunHeader>>(answer => StartStep(request, answer), cancellationToken);

    public Task<RunState> WaitAsync(string runId, CancellationToken cancellationToken) =>
        _runs.TryGetValue(runId, out var ended)
            ? ended.WaitAsync(cancellationToken)
            : throw new KeyNotFoundException($"Run {runId} is none of the newest {RunsRemembered} of this process.");

    public Task<Outcome<BenchState>> StopAsync(CancellationToken cancellationToken) =>
        AskAsync<Outcome<BenchState>>(Stop, cancellationToken);

    public Task<Outcome<BenchState>> MakeSafeAsync(string reason, CancellationToken cancellationToken)
    {
        // Straight to the rig, whatever the owner is at; its message latches the trip and orders it once more. It is put before it, without waiting, so that the
        // rig's own report of the order cannot overtake the reason.
        var asked = AskAsync<Outcome<BenchState>>(answer => MakeSafe(reason, answer), cancellationToken, urgent: true);
        _ = QuietlyAsync(_rig.MakeSafeAsync(CancellationToken.None));
        return asked;
    }

    public Task<Outcome<BenchState>> AcknowledgeAsync(CancellationToken cancellationToken) =>
        AskAsync<Outcome<BenchState>>(Acknowledge, cancellationToken);

    public Task<Outcome<Permit>> GrantPermitAsync(Volts ceiling, TimeSpan duration, string reason, CancellationToken cancellationToken) =>
        AskAsync<Outcome<Permit>>(answer => GrantPermit(ceiling, duration, reason, answer), cancellationToken);

    public Task<Outcome<BenchState>> EndPermitAsync(CancellationToken cancellationToken) =>
        AskAsync<Outcome<BenchState>>(EndPermit, cancellationToken);

    public Task<BenchState> SetAttendanceAsync(bool attended, CancellationToken cancellationToken) =>
        AskAsync<BenchState>(
            answer =>
            {
                Apply(new InterlockEvent.Attendance(!attended));
                Publish();
                answer.TrySetResult(_state);
            },
            cancellationToken);

    public Task<Outcome<BenchState>> SetHeaterAsync(bool on, Volts heater, CancellationToken cancellationToken) =>
        AskAsync<Outcome<BenchState>>(answer => SetHeater(on, heater, answer), cancellationToken);

    public Task<Outcome<HoldProgress>> HoldAsync(HoldRequest request, CancellationToken cancellationToken) =>
        AskAsync<Outcome<HoldProgress>>(answer => Hold(request, answer), cancellationToken);

    public Task<Outcome<HeldReading>> ReadHoldAsync(CancellationToken cancellationToken) =>
        AskAsync<Outcome<HeldReading>>(answer => answer.TrySetResult(ReadHold()), cancellationToken);

    public Task<BenchState> ApplyCalibrationAsync(CancellationToken cancellationToken) =>
        AskAsync<BenchState>(
            answer =>
            {
                TakeUpCalibration();
                Publish();
                answer.TrySetResult(_state);
            },
            cancellationToken);

    /// <summary>Completes once the owner task, and the recording of a run under way, have come to it among their other work.</summary>
    public Task BeatAsync(CancellationToken cancellationToken) => AskAsync<object>(
        answer =>
        {
            if (_run?.Recording?.Then(() => answer.TrySetResult(answer)) != true) answer.TrySetResult(answer);
        },
        cancellationToken);

    /// <summary>Ends a run under way as incomplete, switches all supplies off, and ends the permit. Does not dispose the rig.</summary>
    public async ValueTask DisposeAsync()
    {
        if (_disposed) return;
        _disposed = true;
        if (_started)
        {
            var done = new TaskCompletionSource(TaskCreationOptions.RunContinuationsAsynchronously);
            if (_mailbox.PostUrgent(() => ShutDown(done)))
            {
                try
                {
                    await done.Task.WaitAsync(ShutdownLimit, _time).ConfigureAwait(false);
                }
                catch (TimeoutException)
                {
                    _logger.LogWarning(LogEvents.SilentWhileStopping, "The rig did not answer while stopping; it is ordered safe, and makes itself safe when its lease ends, if it has one.");
                    // Its rail may be on, and the lease goes on for as long as the link does.
                    await Task.WhenAny(QuietlyAsync(_rig.MakeSafeAsync(CancellationToken.None)), Task.Delay(SafeWithin, _time)).ConfigureAwait(false);
                }
            }
        }
        await _ticker.DisposeAsync().ConfigureAwait(false);
        await _permitTimer.DisposeAsync().ConfigureAwait(false);
        await _stopped.CancelAsync().ConfigureAwait(false);
        _mailbox.Close();
        await _owner.ConfigureAwait(false);
        await _pump.ConfigureAwait(false);
        if (_run?.Recording is { } recording) await recording.CloseAsync().ConfigureAwait(false);
        await _lastClosed.ConfigureAwait(false);
        _stopped.Dispose();
    }

    private void ShutDown(TaskCompletionSource done)
    {
        _shuttingDown = true;
        if (_run is not { } run)
        {
            SwitchAllOff(done);
            return;
        }
        run.FinalInstead = RunState.Incomplete;
        _ = run.Ended.Task.ContinueWith(_ => _mailbox.Post(() => SwitchAllOff(done)), CancellationToken.None, TaskContinuationOptions.None, TaskScheduler.Default);
        StopRun(run);
    }

    private void SwitchAllOff(TaskCompletionSource done)
    {
        if (_interlock.Permit is not null) Apply(new InterlockEvent.PermitEnded());
        if (_link != RigLinkState.Connected)
        {
            done.TrySetResult();
            return;
        }
        Call(c => _rig.SetSuppliesAsync(new(false, 0, false, 0, _socket), c), _ => done.TrySetResult());
    }

    /// <summary>Sends a question to the rig; its answer, or the lack of one, comes back as a message.</summary>
    private void Call(Func<CancellationToken, Task<RigReply>> ask, Action<RigReply> then, TimeSpan? within = null)
    {
        var limit = within ?? TimeSpan.FromSeconds(5);
        Interlocked.Increment(ref _unanswered);
        _ = AnswerAsync();

        async Task AnswerAsync()
        {
            RigReply reply;
            try
            {
                reply = await ask(_stopped.Token).WaitAsync(limit, _time, _stopped.Token).ConfigureAwait(false);
            }
            catch (TimeoutException)
            {
                reply = new(false, "no-answer", $"the rig did not answer within {limit.TotalSeconds:0.#} s");
            }
            catch (OperationCanceledException)
            {
                reply = new(false, "no-answer", "the program is stopping");
            }
            _mailbox.Post(() => then(reply));
            Interlocked.Decrement(ref _unanswered);
        }
    }

    private async Task<T> AskAsync<T>(Action<TaskCompletionSource<T>> handle, CancellationToken cancellationToken, bool urgent = false)
    {
        var answer = new TaskCompletionSource<T>(TaskCreationOptions.RunContinuationsAsynchronously);
        var taken = urgent ? _mailbox.PostUrgent(Message) : _mailbox.Post(Message);
        ObjectDisposedException.ThrowIf(!taken, this);
        using var ended = _stopped.Token.Register(() => answer.TrySetException(new ObjectDisposedException(nameof(SweepRunner))));
        var given = await answer.Task.WaitAsync(cancellationToken).ConfigureAwait(false);
        if (given is IOutcome { Refusals: { Count: > 0 } reasons }) SweepTelemetry.Refused(_options.RigName, reasons);
        return given;

        void Message()
        {
            try
            {
                handle(answer);
            }
            catch (Exception fault)
            {
                answer.TrySetException(fault);
                throw;
            }
        }
    }

    private async Task PumpEventsAsync()
    {
        try
        {
            await foreach (var happened in _rig.Events.ReadAllAsync(_stopped.Token).ConfigureAwait(false)) _mailbox.Post(() => OnRig(happened));
        }
        catch (OperationCanceledException) when (_stopped.IsCancellationRequested)
        {
            // Stopping.
        }
    }

    private void PostTick()
    {
        // A busy owner gets one tick, not a heap of them.
        if (Interlocked.Exchange(ref _tickWaiting, 1) == 0) _mailbox.Post(OnTick);
    }

    private void OnBug(Exception fault)
    {
        _logger.LogCritical(LogEvents.MessageFailed, fault, "SweepRig bug: a message failed; the bench is made safe");
        try
        {
            Apply(new InterlockEvent.SafeOrdered($"SweepRig bug: {fault.Message}"));
        }
        catch (Exception second)
        {
            // Not even that: the rig itself is left, whose order is idempotent.
            _logger.LogCritical(LogEvents.SafeFailed, second, "SweepRig bug: making safe failed too");
            _ = QuietlyAsync(_rig.MakeSafeAsync(CancellationToken.None));
        }
    }

    private static async Task QuietlyAsync(Task<RigReply> call)
    {
        try
        {
            await call.ConfigureAwait(false);
        }
        catch (Exception)
        {
            // The order is given again by the owner task, which reports what becomes of it.
        }
    }
}
