using System.Threading.Channels;
using SweepRig.Domain;
using SweepRig.Tubes.Lots;

namespace SweepRig.Rigs.Simulated;

/// <summary>
/// A rig without hardware, on its own clock, speaking the link protocol on any stream. It lives on while no stream is connected, as hardware
/// would: a host that vanishes leaves it to its lease.
/// </summary>
/// <remarks>
/// One task owns the machine; streams and timer send it messages. The rig clock follows the <see cref="TimeProvider"/>; at each wake the task does all that
/// has become due, so a pass takes as long as its program says, plus at most one wake (2 ms while a program runs).
/// </remarks>
public sealed class SimulatedRig : IAsyncDisposable
{
    private const long BusyWakeMicroseconds = 2_000;
    private const long IdleWakeMicroseconds = 25_000;

    // Unpaced: how much rig time is run before messages are looked at again, and how much may wait to be sent.
    private const long AheadMicroseconds = 20_000;
    private const int MostWaitingFrames = 256;

    private readonly SimulatedRigOptions _options;
    private readonly TimeProvider _time;
    private readonly Machine _machine;
    private readonly Channel<Input> _inputs = Channel.CreateUnbounded<Input>(new() { SingleReader = true });
    private readonly CancellationTokenSource _end = new();
    private readonly ITimer _timer;
    private readonly long _startedAt;
    private readonly Task _task;
    private RigConnection? _connection;
    private int _tickWaits;

    /// <exception cref="ArgumentException">An option is out of its range.</exception>
    public SimulatedRig(SimulatedRigOptions options, TimeProvider time)
    {
        _options = options;
        _time = time;
        Journal = new(options.JournalEntries);
        _machine = new(options, Journal, frame => Volatile.Read(ref _connection)?.Send(frame), () => Volatile.Read(ref _connection)?.Forget());
        _startedAt = time.GetTimestamp();
        _timer = time.CreateTimer(_ => Tick(), null, Timeout.InfiniteTimeSpan, Timeout.InfiniteTimeSpan);
        _task = Task.Run(RunAsync);
    }

    private abstract record Input
    {
        public sealed record Tick : Input
        {
            public static Tick Instance { get; } = new();
        }

        public sealed record Bytes(RigConnection From, byte[] Data) : Input;

        public sealed record Connected(RigConnection Connection) : Input;

        public sealed record Faults(IReadOnlyList<SimulatedFault> Present) : Input;

        public sealed record Seated(int Socket, Specimen? Tube) : Input;

        public sealed record Taps(TimeSpan First, TimeSpan Every, int Count) : Input;
    }

    public SimulatedRigOptions Options => _options;

    /// <summary>What it did to its outputs, by its own record.</summary>
    public RigJournal Journal { get; }

    /// <summary>True voltage of a pin, in volts, when the last sample of a program was taken: what a meter there would have shown, had it no error.</summary>
    public double TrueVolts(RigChannel pin) => Volatile.Read(ref _machine.Bench.TrueVolts[(int)pin]);

    /// <summary>Why the rig runs no more, for people; null while it runs.</summary>
    internal string? Ended => _task.Exception is { } fault
        ? $"The simulated rig has broken: {fault.InnerException!.Message} Start it again, and report this."
        : _end.IsCancellationRequested ? "The simulated rig has been shut down. Start it again." : null;

    /// <summary>Serves one host until the stream ends or fails, a newer host connects, or the token is cancelled; then disposes the stream. Throws for none of these.</summary>
    /// <exception cref="InvalidOperationException">A bug of the rig itself.</exception>
    public async Task ServeAsync(Stream stream, CancellationToken cancellationToken)
    {
        ObjectDisposedException.ThrowIf(_end.IsCancellationRequested, this);
        using var connection = new RigConnection(stream, _end.Token, cancellationToken);
        Interlocked.Exchange(ref _connection, connection)?.End();
        _inputs.Writer.TryWrite(new Input.Connected(connection));
        var writing = connection.WriteAsync(_options.Unpaced ? Tick : static () => { });
        await connection.ReadAsync(data => _inputs.Writer.TryWrite(new Input.Bytes(connection, data))).ConfigureAwait(false);
        Interlocked.CompareExchange(ref _connection, null, connection);
        connection.End();
        await writing.ConfigureAwait(false);
        if (_task.IsFaulted) await _task.ConfigureAwait(false);
    }

    /// <summary>Replaces the faults that are present or to come.</summary>
    public void Inject(params IReadOnlyList<SimulatedFault> faults) => _inputs.Writer.TryWrite(new Input.Faults(faults));

    /// <summary>Knocks on the bulb in the socket in use, as a hand with a pencil would. Times are of the rig's own clock.</summary>
    /// <param name="first">Time to the first knock, 0 or more.</param>
    /// <param name="every">Time between knocks.</param>
    /// <param name="count">1 to 100.</param>
    /// <exception cref="ArgumentOutOfRangeException">A count outside its range, or a negative time.</exception>
    public void Tap(TimeSpan first, TimeSpan every, int count)
    {
        ArgumentOutOfRangeException.ThrowIfLessThan(count, 1);
        ArgumentOutOfRangeException.ThrowIfGreaterThan(count, 100);
        ArgumentOutOfRangeException.ThrowIfLessThan(first, TimeSpan.Zero);
        ArgumentOutOfRangeException.ThrowIfLessThan(every, TimeSpan.Zero);
        _inputs.Writer.TryWrite(new Input.Taps(first, every, count));
    }

    /// <summary>Puts another tube into a socket, as a hand would: it comes cold, and the heaters go on as they are.</summary>
    /// <param name="socket">From 0.</param>
    /// <param name="tube">Null takes the tube out.</param>
    /// <exception cref="ArgumentOutOfRangeException">No such socket.</exception>
    public void Seat(int socket, Specimen? tube)
    {
        ArgumentOutOfRangeException.ThrowIfNegative(socket);
        ArgumentOutOfRangeException.ThrowIfGreaterThanOrEqual(socket, _options.Tubes.Count);
        _inputs.Writer.TryWrite(new Input.Seated(socket, tube));
    }

    public async ValueTask DisposeAsync()
    {
        if (_end.IsCancellationRequested) return;
        await _end.CancelAsync().ConfigureAwait(false);
        _inputs.Writer.TryComplete();
        Volatile.Read(ref _connection)?.End();
        await _task.ConfigureAwait(false);
        await _timer.DisposeAsync().ConfigureAwait(false);
    }

    private void Tick()
    {
        if (Interlocked.Exchange(ref _tickWaits, 1) == 0) _inputs.Writer.TryWrite(Input.Tick.Instance);
    }

    private async Task RunAsync()
    {
        try
        {
            await OwnAsync().ConfigureAwait(false);
        }
        finally
        {
            // Without its owner the rig says nothing more; the host sees its line end.
            Volatile.Read(ref _connection)?.End();
        }
    }

    private async Task OwnAsync()
    {
        var skipped = 0L;
        SetTimer(IdleWakeMicroseconds);
        while (await _inputs.Reader.WaitToReadAsync(CancellationToken.None).ConfigureAwait(false))
        {
            while (_inputs.Reader.TryRead(out var input))
            {
                CatchUp(ref skipped);
                Take(input);
            }
            CatchUp(ref skipped);
            if (_options.Unpaced) RunAhead();
            SetTimer(_machine.IsRunning ? BusyWakeMicroseconds : IdleWakeMicroseconds);
        }
    }

    private void CatchUp(ref long skipped)
    {
        var hostMicroseconds = (long)_time.GetElapsedTime(_startedAt).TotalMicroseconds;
        var target = hostMicroseconds - skipped + _machine.Ahead;
        var late = target - _machine.Now - (long)_options.LongestCatchUp.TotalMicroseconds;
        if (late > 0)
        {
            skipped += late;
            target -= late;
        }
        _machine.RunTo(target);
    }

    private void Take(Input input)
    {
        switch (input)
        {
            case Input.Tick:
                Volatile.Write(ref _tickWaits, 0);
                break;
            case Input.Bytes bytes:
                if (bytes.From == Volatile.Read(ref _connection)) _machine.Receive(bytes.Data);
                break;
            case Input.Connected connected:
                if (connected.Connection == Volatile.Read(ref _connection)) _machine.Reconnected();
                break;
            case Input.Faults faults:
                _machine.Inject(faults.Present);
                break;
            case Input.Seated seated:
                _machine.Seat(seated.Socket, seated.Tube);
                break;
            case Input.Taps taps:
                _machine.Tap((long)taps.First.TotalMicroseconds, (long)taps.Every.TotalMicroseconds, taps.Count);
                break;
            default:
                throw new InvalidOperationException("SweepRig bug: an input of the simulated rig is not handled.");
        }
    }

    private void RunAhead()
    {
        while (_machine.IsRunning && !_inputs.Reader.TryPeek(out _) && (Volatile.Read(ref _connection)?.Waiting ?? 0) < MostWaitingFrames)
            _machine.RunAhead(AheadMicroseconds);
    }

    private void SetTimer(long microseconds) => _timer.Change(TimeSpan.FromMicroseconds(microseconds), Timeout.InfiniteTimeSpan);
}
