using System.Collections.Concurrent;
using System.Diagnostics;

namespace SweepRig.EndToEnd.Tests.Harness;

/// <summary>A started <c>sweeprig</c>, with all it printed. Ended by its own process id when disposed.</summary>
public sealed class SweepRigProcess : IAsyncDisposable
{
    private readonly Process _process;
    private readonly ConcurrentQueue<string> _lines = new();
    private readonly SemaphoreSlim _arrived = new(0);

    private SweepRigProcess(Process process) => _process = process;

    public int Id => _process.Id;

    public bool HasExited => _process.HasExited;

    /// <summary>Standard output and error so far.</summary>
    public string Output => string.Join('\n', _lines);

    public static SweepRigProcess Start(params string[] arguments) => StartWith(new Dictionary<string, string>(), arguments);

    public static SweepRigProcess StartWith(IReadOnlyDictionary<string, string> environment, params string[] arguments)
    {
        var start = Precedence.Of(Repository.Executable, arguments);
        start.RedirectStandardOutput = start.RedirectStandardError = start.RedirectStandardInput = true;
        start.Environment["NO_COLOR"] = "1";
        foreach (var (name, value) in environment) start.Environment[name] = value;
        var process = new Process { StartInfo = start };
        var started = new SweepRigProcess(process);
        process.OutputDataReceived += started.Take;
        process.ErrorDataReceived += started.Take;
        process.Start();
        process.BeginOutputReadLine();
        process.BeginErrorReadLine();
        return started;
    }

    /// <summary>Runs to the end and returns exit code and standard output alone.</summary>
    public static async Task<(int ExitCode, string Output, string Error)> RunAsync(TimeSpan limit, params string[] arguments)
    {
        var start = new ProcessStartInfo(Repository.Executable) { RedirectStandardOutput = true, RedirectStandardError = true, RedirectStandardInput = true };
        foreach (var argument in arguments) start.ArgumentList.Add(argument);
        using var process = Process.Start(start)!;
        process.StandardInput.Close();
        using var timeout = new CancellationTokenSource(limit);
        var output = process.StandardOutput.ReadToEndAsync(timeout.Token);
        var error = process.StandardError.ReadToEndAsync(timeout.Token);
        try
        {
            await process.WaitForExitAsync(timeout.Token);
            return (process.ExitCode, await output, await error);
        }
        catch (OperationCanceledException)
        {
            process.Kill(entireProcessTree: true);
            throw new TimeoutException($"sweeprig {string.Join(' ', arguments)} did not end within {limit}.");
        }
    }

    /// <summary>Waits until a condition holds over what was printed; returns at once if the process ends first.</summary>
    public async Task<bool> WaitForOutputAsync(Func<string, bool> condition, TimeSpan limit)
    {
        var clock = Stopwatch.StartNew();
        while (!condition(Output))
        {
            var left = limit - clock.Elapsed;
            if (left <= TimeSpan.Zero || (HasExited && !await _arrived.WaitAsync(TimeSpan.FromMilliseconds(200)))) return condition(Output);
            await _arrived.WaitAsync(left < TimeSpan.FromMilliseconds(200) ? left : TimeSpan.FromMilliseconds(200));
        }
        return true;
    }

    /// <summary>Ends it at once, as a power failure would.</summary>
    public void Kill() => _process.Kill();

    /// <summary>Asks it to end, as Ctrl+C does, and waits.</summary>
    public async Task<int> InterruptAsync(TimeSpan limit)
    {
        if (!HasExited) Signals.Interrupt(_process.Id);
        return await ExitAsync(limit);
    }

    /// <summary>Waits for its end.</summary>
    public async Task<int> ExitAsync(TimeSpan limit)
    {
        using var timeout = new CancellationTokenSource(limit);
        await _process.WaitForExitAsync(timeout.Token);
        return _process.ExitCode;
    }

    public async ValueTask DisposeAsync()
    {
        if (!HasExited)
        {
            _process.Kill();
            await _process.WaitForExitAsync();
        }
        _process.Dispose();
        _arrived.Dispose();
    }

    private void Take(object sender, DataReceivedEventArgs e)
    {
        if (e.Data is null) return;
        _lines.Enqueue(e.Data);
        _arrived.Release();
    }
}
