using System.Collections.Concurrent;
using System.Diagnostics;
using SweepRig.Domain.Rigs;
using SweepRig.EndToEnd.Tests.Emulated.Avr;
using SweepRig.EndToEnd.Tests.Emulated.Board;
using SweepRig.Rigs;
using SweepRig.Rigs.Simulated;

namespace SweepRig.EndToEnd.Tests.Emulated.Rigs;

/// <summary>
/// The board under emulation on a thread of its own, held to real time, its USART on a pseudo-terminal. What is asked of it from other threads is done
/// between two slices of a millisecond.
/// </summary>
internal sealed class AvrRig : RigOnBench
{
    private const int SliceMicroseconds = 1_000;

    // A machine too busy to run the board stalls the host's renewals too; a board that then made up for it all at once would find its lease run out.
    private static readonly TimeSpan s_longestCatchUp = TimeSpan.FromMilliseconds(50);

    private readonly AtmegaBoard _board;
    private readonly PtyLine _line;
    private readonly ConcurrentQueue<Action> _orders = new();
    private readonly AutoResetEvent _wake = new(false);
    private readonly Thread _thread;
    private volatile bool _ends;
    private volatile Exception? _fault;

    public AvrRig(string ptyPath, SimulatedRigOptions options)
    {
        _board = new(IntelHex.Read(FirmwareBuild.AvrHex), new(options));
        _line = new(ptyPath, bytes => Order(() =>
        {
            foreach (var value in bytes) _board.Usart.Send(value);
        }));
        _line.PlugIn();
        _thread = new(Run) { IsBackground = true, Name = "emulated board" };
        _thread.Start();
    }

    /// <summary>The board; not to be touched while the rig runs but through <see cref="AskAsync{T}"/>.</summary>
    public AtmegaBoard Board => _board;

    public override RigJournal Journal => _fault is { } fault
        ? throw new InvalidOperationException($"The emulated board has stopped: {fault.Message}", fault)
        : _board.Circuit.Journal;

    public override void Inject(params IReadOnlyList<SimulatedFault> faults) => Order(() => _board.Circuit.Faults = faults);

    public override Task WireAsync(RigWiring wiring, double railVolts) => AskAsync(() =>
    {
        _board.Circuit.RailVolts = railVolts;
        _board.Circuit.Wire(_board.Now, wiring);
        return true;
    });

    public override void Restart(ResetReason reason) => Order(() =>
    {
        if (reason == ResetReason.Watchdog) _board.Hang();
        else _board.Restart(reason);
    });

    public override void OpenConverter() => Order(() => _board.AdcOpen = true);

    /// <summary>Asks something of the board on its own thread.</summary>
    public Task<T> AskAsync<T>(Func<T> question)
    {
        var answer = new TaskCompletionSource<T>(TaskCreationOptions.RunContinuationsAsynchronously);
        Order(() => answer.SetResult(question()));
        return answer.Task;
    }

    public override async ValueTask DisposeAsync()
    {
        _ends = true;
        _wake.Set();
        _thread.Join();
        await _line.DisposeAsync();
        _board.Dispose();
        _wake.Dispose();
        if (_fault is { } fault) throw new InvalidOperationException($"The emulated board stopped: {fault.Message}", fault);
        if (_board.Usart.Overruns > 0) throw new InvalidOperationException($"The firmware lost {_board.Usart.Overruns} bytes from its host, at one USART that holds three.");
        if (_board.Abuses.Count > 0) throw new InvalidOperationException("The firmware broke a data sheet: " + string.Join("; ", _board.Abuses));
    }

    private void Order(Action action)
    {
        _orders.Enqueue(action);
        _wake.Set();
    }

    private void Run()
    {
        try
        {
            var clock = Stopwatch.StartNew();
            var skipped = 0L;
            while (!_ends)
            {
                while (_orders.TryDequeue(out var order)) order();
                var target = (long)clock.Elapsed.TotalMicroseconds - skipped;
                var late = target - _board.Now - (long)s_longestCatchUp.TotalMicroseconds;
                if (late > 0)
                {
                    skipped += late;
                    target -= late;
                }
                if (_board.Now >= target)
                {
                    _wake.WaitOne(1);
                    continue;
                }
                _board.RunTo(Math.Min(target, _board.Now + SliceMicroseconds) * _board.Machine.CyclesPerMicrosecond);
                _line.Send(_board.TakeSent());
            }
        }
        catch (Exception fault)
        {
            _fault = fault;
            _line.PullCable();
        }
    }
}
