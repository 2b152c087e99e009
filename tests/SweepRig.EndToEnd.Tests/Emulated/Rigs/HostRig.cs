using System.Collections.Concurrent;
using System.Diagnostics;
using SweepRig.Domain;
using SweepRig.Domain.Rigs;
using SweepRig.EndToEnd.Tests.Emulated.Board;
using SweepRig.EndToEnd.Tests.Harness;
using SweepRig.Rigs;
using SweepRig.Rigs.Simulated;

namespace SweepRig.EndToEnd.Tests.Emulated.Rigs;

/// <summary>
/// <c>rig-host</c> as a process, its bench on a thread here: fixture, tube, clock and watchdog. Bench time is held to real time and is line time as well.
/// </summary>
internal sealed class HostRig : RigOnBench
{
    private const long ConversionMicroseconds = 19;
    private const long PaceMicroseconds = 1_000;

    private static readonly TimeSpan s_longestCatchUp = TimeSpan.FromMilliseconds(50);
    private static readonly TimeSpan s_watchdog = TimeSpan.FromMilliseconds(120);

    private readonly string _ptyPath;
    private readonly BenchCircuit _circuit;
    private readonly ConcurrentQueue<Action> _orders = new();
    private readonly AutoResetEvent _wake = new(false);
    private readonly Stopwatch _clock = Stopwatch.StartNew();
    private readonly Thread _thread;
    private readonly Timer _watchdog;
    private volatile bool _ends;
    private volatile Exception? _fault;
    private volatile Process? _process;
    private volatile ResetReason _nextReason = ResetReason.PowerOn;
    private long _answeredAt;
    private long _now, _skipped;
    private int _boot;

    public HostRig(string ptyPath, SimulatedRigOptions options)
    {
        _ptyPath = ptyPath;
        _circuit = new(options);
        // Built here, so that a failing build is told to who asked.
        var program = FirmwareBuild.Host;
        _thread = new(() => Run(program)) { IsBackground = true, Name = "bench of rig-host" };
        _thread.Start();
        _watchdog = new(_ => WatchFirmware(), null, s_watchdog, TimeSpan.FromMilliseconds(10));
    }

    public override RigJournal Journal => _fault is { } fault
        ? throw new InvalidOperationException($"The bench of rig-host has stopped: {fault.Message}", fault)
        : _circuit.Journal;

    public override void Inject(params IReadOnlyList<SimulatedFault> faults) => _orders.Enqueue(() => _circuit.Faults = faults);

    public override Task WireAsync(RigWiring wiring, double railVolts)
    {
        var done = new TaskCompletionSource(TaskCreationOptions.RunContinuationsAsynchronously);
        _orders.Enqueue(() =>
        {
            _circuit.RailVolts = railVolts;
            _circuit.Wire(_now, wiring);
            done.SetResult();
        });
        return done.Task;
    }

    /// <summary>The watchdog's is made by stopping the process, which the bench then takes for hung.</summary>
    public override void Restart(ResetReason reason)
    {
        _nextReason = reason;
        if (_process is not { } process) return;
        if (reason == ResetReason.Watchdog) Signals.Stop(process.Id);
        else process.Kill();
    }

    public override async ValueTask DisposeAsync()
    {
        _ends = true;
        await _watchdog.DisposeAsync();
        _process?.Kill();
        _wake.Set();
        _thread.Join();
        _wake.Dispose();
        if (_fault is { } fault) throw new InvalidOperationException($"The bench of rig-host stopped: {fault.Message}", fault);
    }

    private void WatchFirmware()
    {
        if (_process is { } process && _clock.Elapsed.Ticks - Volatile.Read(ref _answeredAt) > s_watchdog.Ticks) process.Kill();
    }

    private void Run(string program)
    {
        try
        {
            while (!_ends) Serve(program);
        }
        catch (Exception fault)
        {
            _fault = fault;
        }
    }

    // From one start of the firmware to its end.
    private void Serve(string program)
    {
        using var process = Process.Start(new ProcessStartInfo(program, ["--pty", _ptyPath])
        {
            RedirectStandardInput = true, RedirectStandardOutput = true, RedirectStandardError = true,
        })!;
        Volatile.Write(ref _answeredAt, _clock.Elapsed.Ticks);
        _process = process;
        var errors = process.StandardError.ReadToEndAsync();
        var (requests, replies) = (process.StandardOutput.BaseStream, process.StandardInput.BaseStream);
        Span<byte> request = stackalloc byte[BusRequest.Bytes];
        Span<byte> reply = stackalloc byte[BusReply.Bytes];
        try
        {
            while (requests.ReadAtLeast(request, request.Length, throwOnEndOfStream: false) == request.Length)
            {
                Volatile.Write(ref _answeredAt, long.MaxValue);
                while (_orders.TryDequeue(out var order)) order();
                var asked = BusRequest.Read(request);
                var value = Do(asked);
                BusReply.Write(reply, _now, _now, value, _circuit.EmergencyStopPressed(_now), asked.Operation);
                replies.Write(reply);
                replies.Flush();
                Volatile.Write(ref _answeredAt, _clock.Elapsed.Ticks);
            }
        }
        catch (IOException)
        {
            // It has ended between its request and our reply.
        }
        _process = null;
        process.WaitForExit();
        // A process that was killed leaves its link behind.
        File.Delete(_ptyPath);
        Release();
        if (!_ends && process.ExitCode == 2) throw new InvalidOperationException($"rig-host gave up: {errors.Result}");
    }

    private int Do(in BusRequest asked)
    {
        switch (asked.Operation)
        {
            case BusOperation.Start:
                var reason = _nextReason;
                _nextReason = ResetReason.External;
                _circuit.NoteRestart(_now, reason);
                return (++_boot & 0x3FFF) | (int)reason << 14;
            case BusOperation.Drive:
                _circuit.Drive(_now, asked.Argument);
                return 0;
            case BusOperation.Convert:
                Pass(ConversionMicroseconds);
                return _circuit.Convert(_now, (RigChannel)asked.Small);
            case BusOperation.Supplies:
                if (asked.First > 0) _circuit.HeaterVolts = asked.First / 1e6;
                if (asked.Second > 0) _circuit.RailVolts = asked.Second / 1e6;
                _circuit.SwitchHeater(_now, (asked.Small & 1) != 0);
                _circuit.SwitchRail(_now, (asked.Small & 2) != 0);
                return 0;
            case BusOperation.Socket:
                _circuit.SelectSocket(_now, asked.Small);
                return 0;
            case BusOperation.Rest:
                Pass(asked.First);
                return 0;
            default:
                throw new InvalidDataException($"rig-host asked for operation {(byte)asked.Operation}; the bus knows 0 to 5.");
        }
    }

    // Nothing of a firmware that is gone goes on driving.
    private void Release()
    {
        _circuit.Drive(_now, _circuit.SafeCode);
        _circuit.SwitchRail(_now, false);
        _circuit.SwitchHeater(_now, false);
    }

    /// <summary>Lets bench time pass, and waits when it would run ahead of real time by more than a little.</summary>
    private void Pass(long microseconds)
    {
        _now += microseconds;
        while (!_ends)
        {
            var real = (long)_clock.Elapsed.TotalMicroseconds - _skipped;
            var late = real - _now - (long)s_longestCatchUp.TotalMicroseconds;
            if (late > 0) _skipped += late;
            if (_now - real < PaceMicroseconds) return;
            _wake.WaitOne(1);
        }
    }
}
